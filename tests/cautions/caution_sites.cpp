#include "tests/cautions/caution_sites.h"

#include <algorithm>
#include <cctype>
#include <regex>

#include "tests/text_of.h"

namespace lampflight::testing {
namespace {

/// A literal at a place, read to behind its closing quote.
std::string literal_at(const std::string& source, std::size_t& place) {
    std::string text;
    for (++place; place < source.size() && source[place] != '"'; ++place) {
        if (source[place] == '\\') ++place;
        text += source[place];
    }
    ++place;
    return text;
}

bool is_space(char letter) {
    return std::isspace(static_cast<unsigned char>(letter)) != 0;
}

/// Behind a comment, a letter in single quotes or an include that begins there; else the place.
std::size_t past_other(const std::string& source, std::size_t place) {
    const auto behind = [&](const char* end) {
        const std::size_t found = source.find(end, place + 1);
        return found == std::string::npos ? source.size() : found + 1;
    };
    if (source.compare(place, 2, "//") == 0 || source.compare(place, 8, "#include") == 0)
        return behind("\n");
    if (source[place] == '\'' && source.compare(place, 4, "'\\''") == 0) return place + 4;
    if (source.compare(place, 3, "'\"'") == 0) return place + 3;
    return place;
}

/// From a place on; to a semicolon where only one statement is asked for.
std::vector<std::string> literals_from(const std::string& source, std::size_t place,
                                       bool one_statement) {
    std::vector<std::string> literals;
    bool joins = false;
    while (place < source.size()) {
        if (const std::size_t past = past_other(source, place); past != place) {
            place = past;
        } else if (source[place] == '"') {
            const std::string text = literal_at(source, place);
            if (joins)
                literals.back() += text;
            else
                literals.push_back(text);
            joins = true;
        } else if (one_statement && source[place] == ';') {
            break;
        } else {
            joins = joins && is_space(source[place]);
            ++place;
        }
    }
    return literals;
}

/// The longest part of a format string between its placeholders.
std::string longest_part(const std::string& format) {
    static const std::regex placeholder(R"re(\{[^}]*\})re");
    std::string longest;
    for (std::sregex_token_iterator part(format.begin(), format.end(), placeholder, -1), end;
         part != end; ++part)
        if (static_cast<std::size_t>(part->length()) > longest.size()) longest = part->str();
    return longest;
}

CautionLevel level_of(const std::string& word) {
    if (word == "danger") return CautionLevel::danger;
    return word == "care" ? CautionLevel::care : CautionLevel::note;
}

void add_sites(std::vector<CautionSite>& sites, const std::filesystem::path& file) {
    static const std::regex level(R"re(CautionLevel::(note|care|danger)\b)re");
    static const std::regex about(R"re("(\w+)",\s*$)re");
    const std::string source = text_of(file);
    for (std::sregex_iterator found(source.begin(), source.end(), level), end; found != end;
         ++found) {
        std::smatch word;
        const auto at = static_cast<std::size_t>(found->position());
        const std::string before = source.substr(at - std::min<std::size_t>(at, 80), 80);
        const bool tells_about = std::regex_search(before, word, about);
        const auto texts =
            literals_from(source, at + static_cast<std::size_t>(found->length()), true);
        sites.push_back({file.filename().string(), tells_about ? word[1].str() : "",
                         level_of((*found)[1]), texts.empty() ? "" : longest_part(texts.front())});
    }
}

}  // namespace

std::vector<CautionSite> caution_sites(const std::filesystem::path& folder) {
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder))
        if (entry.path().extension() == ".cpp") files.push_back(entry.path());
    std::ranges::sort(files);
    std::vector<CautionSite> sites;
    for (const auto& file : files) add_sites(sites, file);
    return sites;
}

std::vector<std::string> literals_of(const std::string& source) {
    return literals_from(source, 0, false);
}

std::string promise_in(const std::string& text) {
    static const std::regex doubt(R"re(\b(may|might) not be (lawful|legal|allowed|permitted)\b)re",
                                  std::regex::icase);
    static const std::regex promise(
        R"re(\b(safe|safely|safety|legal|legally|lawful|lawfully|allowed|permitted|harmless|riskless|risk-free)\b)re",
        std::regex::icase);
    const std::string sure = std::regex_replace(text, doubt, "");
    std::smatch word;
    return std::regex_search(sure, word, promise) ? word.str() : "";
}

}  // namespace lampflight::testing
