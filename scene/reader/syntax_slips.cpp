#include "scene/reader/syntax_slips.h"

#include <algorithm>
#include <string_view>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"
#include "scene/keys/other_words.h"
#include "scene/reader/statements.h"
#include "scene/reader/value_slip.h"

namespace lampflight {
namespace {

constexpr std::size_t most_problems = 1000;
constexpr std::size_t longest_shown = 60;

std::size_t count_characters(std::string_view text) {
    return static_cast<std::size_t>(std::ranges::count_if(
        text, [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0u) != 0x80u; }));
}

/// The key that a name in a table stands for, by itself or as another word for it.
const Key* key_meant(std::string_view table, const std::string& name) {
    if (const Key* key = find_key(table, name)) return key;
    const auto meant = meant_key(table, name);
    return meant && meant->factor == 1.0 && meant->unit.empty() ? find_key(meant->table, meant->key)
                                                                : nullptr;
}

/// Tells of one statement that the parser refuses.
class Teller {
public:
    Teller(const Statement& statement, const std::string& table, const std::string& label,
           const std::string& name)
        : statement_(statement), table_(table), label_(label), name_(name) {}

    std::optional<Problem> header() const {
        std::string word(statement_.head());
        std::erase_if(word,
                      [](char letter) { return letter == '[' || letter == ']' || letter == ' '; });
        const TableKind* kind = find_table_kind(lower_case(word));
        if (!kind) return std::nullopt;
        return at(statement_.head(), "the header of a table lacks a bracket; write {}",
                  bracketed(kind->name));
    }

    /// A line without a sign of equality.
    std::optional<Problem> no_equals() const {
        const std::string_view line = statement_.head();
        if (line.ends_with(']'))
            if (auto told = header()) return told;
        const std::size_t end = line.find_first_of(": \t");
        const std::string word(line.substr(0, end));
        if (!find_key(table_, word)) return std::nullopt;
        std::string_view value = end == line.npos ? "" : line.substr(end);
        value.remove_prefix(std::min(value.find_first_not_of(": \t"), value.size()));
        if (value.empty())
            return at(line, "{} has no value; allowed is {}", label_of(word),
                      allowed_text(*find_key(table_, word)));
        return at(line, "{} has no = behind it; write {} = {}", label_of(word), word,
                  printable(value, longest_shown));
    }

    std::optional<Problem> value() const {
        const std::string_view name = statement_.key(), value = statement_.value();
        const Key* key = key_meant(table_, std::string(name));
        if (value.empty())
            return at(
                statement_.head(), "{} has no value; {}", label_of(name),
                key ? "allowed is " + allowed_text(*key) : "write one, or leave the line out");
        if (name.find_first_of(" \t") != name.npos) return parted_key(name);
        if (const auto comma = last_sign(value)) return comma;
        if (const auto second = second_key(value)) return second;
        if (!key)
            if (auto slip = inner_table_slip(value, table_, name))
                return at(value, "{} {}; write {}", label_of(name), slip->what, slip->write);
        if (key)
            if (auto slip = value_slip(value, *key))
                return at(value, "{} {}; write {}", label_of(key->name), slip->what, slip->write);
        return unclosed(name, value);
    }

private:
    template <class... Values>
    Problem at(std::string_view where, fmt::format_string<Values...> text,
               Values&&... values) const {
        const auto offset = static_cast<std::size_t>(where.data() - statement_.text.data());
        const std::string_view before = statement_.text.substr(0, offset);
        const std::size_t line_start = before.rfind('\n') + 1;  // npos + 1 is 0
        return {name_, statement_.line + static_cast<int>(std::ranges::count(before, '\n')),
                static_cast<int>(count_characters(before.substr(line_start))) + 1,
                fmt::format(text, std::forward<Values>(values)...)};
    }

    std::string label_of(std::string_view key) const {
        return table_.empty() ? in_quotes(key) : in_quotes(key) + " in " + label_;
    }

    std::optional<Problem> parted_key(std::string_view name) const {
        std::string joined(name);
        std::ranges::replace(joined, ' ', '_');
        const Key* key = find_key(table_, joined);
        if (!key) {
            const auto meant = meant_key(table_, name);
            key = meant ? find_key(meant->table, meant->key) : nullptr;
        }
        if (!key) return std::nullopt;
        return at(name, "a key has no spaces; write {}", key->name);
    }

    /// Another key behind a value that is not in brackets or quotes.
    std::optional<Problem> second_key(std::string_view value) const {
        const std::size_t equals = value.find('=');
        if (equals == value.npos || value.find_first_of("[{\"'") < equals) return std::nullopt;
        const std::string_view before = trimmed_ends(value.substr(0, equals));
        const std::size_t space = before.find_last_of(" \t,;");
        if (space == before.npos) return std::nullopt;
        const std::string_view second = before.substr(space + 1);
        if (!key_meant(table_, std::string(second))) return std::nullopt;
        return at(second, "{} stands behind another key; write it on a line of its own",
                  label_of(second));
    }

    /// A sound value with a comma or the like behind it.
    std::optional<Problem> last_sign(std::string_view value) const {
        if (value.back() != ',' && value.back() != ';') return std::nullopt;
        const std::string_view alone = trimmed_ends(value.substr(0, value.size() - 1));
        if (alone.empty() || alone.find_first_of(",;\n") != alone.npos || !is_sound_alone(alone))
            return std::nullopt;
        return at(value.substr(value.size() - 1), "nothing stands behind a value; write {}",
                  printable(alone, longest_shown));
    }

    static bool is_sound_alone(std::string_view value) {
        const bool quoted = value.size() > 1 && value.front() == '"' && value.back() == '"';
        return quoted || value.find_first_not_of("0123456789.-+") == value.npos ||
               value == "true" || value == "false";
    }

    /// Of several lines, or of a key that is not known: only what is missing at its end.
    std::optional<Problem> unclosed(std::string_view name, std::string_view value) const {
        const char open = value.front();
        if ((open == '"' || open == '\'') && value.find(open, 1) == value.npos &&
            value.find('\n') == value.npos)
            return at(value, "{} lacks its closing quote; write {} behind the text", label_of(name),
                      open);
        if (open != '[' && open != '{') return std::nullopt;
        if (statement_.open_brackets.empty()) return std::nullopt;
        const char close = statement_.open_brackets.back() == '[' ? ']' : '}';
        return at(value.substr(value.size()),
                  "{} lacks its closing {}; write it here, or a comma and more", label_of(name),
                  close);
    }

    const Statement& statement_;
    const std::string& table_;
    const std::string& label_;
    const std::string& name_;
};

std::string label_at(const std::vector<Statement>& statements, std::size_t header,
                     const std::string& table) {
    const std::string label = bracketed(table);
    for (std::size_t i = header + 1; i < statements.size() && !statements[i].is_header(); ++i) {
        const std::string_view value = statements[i].value();
        if (statements[i].key() == "name" && value.size() > 2 && value.front() == '"' &&
            value.back() == '"')
            return label + ' ' + in_quotes(value.substr(1, value.size() - 2));
    }
    return label;
}

/// The parser's fault in one statement, in its place in the file and not behind the statement.
Problem placed(Problem fault, const Statement& statement) {
    const std::string_view text =
        statement.text.substr(0, statement.text.find_last_not_of(" \t\r\n") + 1);
    const int lines = 1 + static_cast<int>(std::ranges::count(text, '\n'));
    const std::string_view last = text.substr(text.rfind('\n') + 1);
    if (fault.line > lines) {
        fault.line = lines;
        fault.column = static_cast<int>(count_characters(last)) + 1;
    }
    fault.line += statement.line - 1;
    return fault;
}

/// What the parser says where every statement is sound by itself: a key or a table twice.
Problem company_fault(const std::vector<Statement>& statements, Problem fault) {
    const auto after = std::ranges::find_if(
        statements, [&](const Statement& statement) { return statement.line > fault.line; });
    if (after == statements.begin()) return fault;
    const Statement& second = *(after - 1);
    const bool header = second.is_header();
    const std::string_view key = second.key();
    if (!header && key.empty()) return fault;
    for (auto first = after - 1; first != statements.begin();) {
        --first;
        if (header && first->is_header() && first->table() == second.table()) {
            const TableKind* kind = find_table_kind(second.table());
            fault.text = fmt::format(
                "[{}] is there twice, first in line {}; {}", second.table(), first->line,
                kind && kind->is_list() ? "write each as " + bracketed(kind->name)
                                        : "write its keys in one place");
            return fault;
        }
        if (!header && first->is_header()) break;
        if (!header && first->key() == key) {
            fault.column = 1 + static_cast<int>(
                                   count_characters(second.text.substr(0, second.text.find(key))));
            fault.text = fmt::format("{} is there twice, first in line {}; write it once",
                                     in_quotes(key), first->line);
            return fault;
        }
    }
    return fault;
}

}  // namespace

std::vector<Problem> syntax_slips(const std::string& text, const std::string& name,
                                  const Problem& fault, const FindFault& find_fault) {
    std::vector<Problem> problems;
    const std::vector<Statement> statements = statements_of(text);
    std::string table, label;
    for (std::size_t i = 0; i < statements.size() && problems.size() < most_problems; ++i) {
        const Statement& statement = statements[i];
        if (statement.is_header()) {
            table = statement.table();
            label = label_at(statements, i, table);
        }
        auto own = find_fault(std::string(statement.text));
        if (!own) continue;
        const Teller teller(statement, table, label, name);
        auto told = statement.is_header()     ? teller.header()
                    : statement.key().empty() ? teller.no_equals()
                                              : teller.value();
        if (!told) told = placed(*own, statement);
        problems.push_back(*std::move(told));
    }
    if (problems.empty() || fault.line < problems.front().line)
        problems.insert(problems.begin(), company_fault(statements, fault));
    return problems;
}

}  // namespace lampflight
