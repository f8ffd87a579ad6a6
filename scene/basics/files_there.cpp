#include "scene/basics/files_there.h"

#include <algorithm>
#include <vector>

#include <fmt/format.h>

#include "scene/basics/nearest_word.h"
#include "scene/basics/text_of_file.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t most_looked_through = 10000;
constexpr std::size_t most_listed = 6;
constexpr std::size_t longest_folder = 300;

std::vector<std::string> names_in(const fs::path& folder, const std::string& extension) {
    std::vector<std::string> names;
    std::error_code error;
    std::size_t seen = 0;
    for (fs::directory_iterator entry(folder, error), end;
         !error && entry != end && seen < most_looked_through; entry.increment(error), ++seen) {
        const fs::path name = entry->path().filename();
        std::error_code unknown;
        if (lower_case(name.extension().string()) == extension && entry->is_regular_file(unknown))
            names.push_back(name.string());
    }
    return names;
}

/// "there are "a.toml" and "b.toml"", those first whose names are nearest to the one wanted.
std::string there_are(const fs::path& folder, const std::string& stem,
                      const std::string& extension) {
    std::vector<std::string> names = names_in(folder, extension);
    std::ranges::sort(names);
    // Who forgot the extension meant the same file.
    if (!stem.empty()) names = nearest_first(stem + extension, std::move(names));
    if (names.empty()) return fmt::format("there is no {} file", extension);
    const auto listed = static_cast<std::ptrdiff_t>(std::min(names.size(), most_listed));
    const std::vector<std::string> first(names.begin(), names.begin() + listed);
    const std::size_t more = names.size() - first.size();
    return fmt::format("there {} {}{}", names.size() == 1 ? "is" : "are",
                       alternatives(first, "and"),
                       more == 0 ? "" : fmt::format(" and {} more", more));
}

fs::path folder_of(const fs::path& file) {
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

}  // namespace

std::string looked_for(const fs::path& file, const std::string& extension) {
    std::error_code error;
    if (fs::is_directory(file, error))
        return "it is a folder, in which " + there_are(file, "", extension);
    const fs::path folder = folder_of(file);
    fs::path whole = fs::weakly_canonical(fs::absolute(folder, error), error);
    if (error) whole = folder;
    const std::string where = printable(whole.string(), longest_folder);
    if (!fs::is_directory(folder, error))
        return fmt::format("looked for in {}, which is no folder", where);
    return fmt::format("looked for in {}, where {}", where,
                       there_are(folder, file.stem().string(), extension));
}

std::string instead_of_file(const fs::path& file, const std::string& extension) {
    std::error_code error;
    const std::string where = looked_for(file, extension);
    if (fs::is_directory(file, error)) return "no file; " + where;
    if (const std::string kind = kind_of_file(file); !kind.empty())
        return fmt::format("{}, no file; {}", kind, where);
    if (!fs::exists(file, error)) return "not there; " + where;
    return "";
}

std::string beside_it(const fs::path& file, const std::string& extension) {
    return "beside it " + there_are(folder_of(file), file.stem().string(), extension);
}

}  // namespace lampflight
