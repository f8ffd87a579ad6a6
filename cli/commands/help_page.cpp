#include "cli/commands/help_page.h"

#include <algorithm>
#include <memory>
#include <sstream>

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <CLI/CLI.hpp>

#include "cli/reports/table.h"
#include "cli/session/output_width.h"

namespace lampflight {
namespace {

constexpr std::size_t words_width = 24;  ///< of the column that names commands and options
constexpr std::size_t widest_page = 96;  ///< longer lines read badly

std::size_t page_width() {
    return std::min(output_columns(), widest_page);
}

/// Usage lines of our own, and everything folded to the page.
class HelpPage : public CLI::Formatter {
public:
    explicit HelpPage(std::string usage) : usage_(std::move(usage)) {
        column_width(words_width);
        label("Positionals", "Words");
    }

    std::string make_usage(const CLI::App*, std::string) const override {
        return fmt::format("Use: {}\n", usage_);
    }

    std::string make_option_desc(const CLI::Option* option) const override {
        return meaning(option->get_description());
    }

    std::string make_subcommand(const CLI::App* command) const override {
        std::ostringstream out;
        CLI::detail::format_help(out, command->get_name(), meaning(command->get_description()),
                                 words_width);
        return out.str();
    }

    std::string make_footer(const CLI::App* app) const override {
        std::istringstream footer(app->get_footer());
        std::string page;
        for (std::string line; std::getline(footer, line);)
            page += line.starts_with(' ') ? line + "\n" : paragraph(line, page_width());
        return page;
    }

private:
    static std::string meaning(const std::string& text) {
        return fmt::format("{}", fmt::join(wrapped(text, page_width() - words_width), "\n"));
    }

    std::string usage_;
};

}  // namespace

void set_help(CLI::App& app, const std::string& usage, const std::string& footer) {
    app.formatter(std::make_shared<HelpPage>(usage));
    app.group("Commands");
    app.set_help_flag("-h,--help", "This page");
    app.footer(footer);
    // Unknown words are reported by our own door, with the nearest right word.
    app.allow_extras();
}

}  // namespace lampflight
