#include "scene/flights/files/csv_rows.h"

#include <algorithm>
#include <utility>

#include <csv.h>
#include <fmt/format.h>

namespace lampflight {
namespace {

constexpr std::size_t most_cells = 100;

/// The next line with its end: a line feed, a carriage return, or both.
std::string_view line_at_start(std::string_view text) {
    const std::size_t end = text.find_first_of("\r\n");
    if (end == std::string_view::npos) return text;
    return text.substr(0, end + (text.substr(end).starts_with("\r\n") ? 2 : 1));
}

/// The library's parser, fed with a line at a time: so a row is known by its line.
class CsvParser {
public:
    explicit CsvParser(char separator) {
        csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI);
        csv_set_delim(&parser_, static_cast<unsigned char>(separator));
        // Its own steps of 128 bytes make a cell of megabytes a matter of minutes.
        csv_set_blk_size(&parser_, std::size_t{1} << 20);
    }
    ~CsvParser() { csv_free(&parser_); }
    CsvParser(const CsvParser&) = delete;
    CsvParser& operator=(const CsvParser&) = delete;

    /// False where quotes don't pair.
    bool feed(std::string_view line, std::size_t number) {
        line_ = number;
        return csv_parse(&parser_, line.data(), line.size(), on_cell, on_row, this) == line.size();
    }
    bool finish() { return csv_fini(&parser_, on_cell, on_row, this) == 0; }

    /// The row that the last line has ended.
    std::optional<CsvRow> ended() { return std::exchange(ended_, std::nullopt); }
    std::size_t cells() const { return row_.cells.size(); }

private:
    static void on_cell(void* bytes, std::size_t size, void* data) {
        CsvParser& self = *static_cast<CsvParser*>(data);
        if (self.row_.cells.empty()) self.row_.line = self.line_;
        if (self.row_.cells.size() > most_cells) return;
        self.row_.cells.emplace_back(static_cast<const char*>(bytes), size);
    }
    static void on_row(int, void* data) {
        CsvParser& self = *static_cast<CsvParser*>(data);
        self.ended_ = std::exchange(self.row_, CsvRow{});
    }

    csv_parser parser_{};
    std::size_t line_ = 0;
    CsvRow row_;
    std::optional<CsvRow> ended_;
};

PathFault hand_out(CsvParser& parser, const TakeCsvRow& take) {
    const std::optional<CsvRow> row = parser.ended();
    if (!row) return std::nullopt;
    if (row->cells.size() > most_cells)
        return fmt::format("its line {} has more than {} cells", row->line, most_cells);
    const bool blank = std::ranges::all_of(row->cells, &std::string::empty);
    return blank ? std::nullopt : take(*row);
}

}  // namespace

PathFault for_csv_rows(std::string_view text, char separator, const TakeCsvRow& take) {
    CsvParser parser(separator);
    std::size_t number = 0;
    while (!text.empty()) {
        const std::string_view line = line_at_start(text);
        text.remove_prefix(line.size());
        if (!parser.feed(line, ++number))
            return fmt::format(
                "its line {} has quotes that don't pair; allowed are quotes about a "
                "whole cell, doubled within it",
                number);
        if (auto fault = hand_out(parser, take)) return fault;
    }
    if (!parser.finish()) return "its last quotes are never closed";
    return hand_out(parser, take);
}

std::string csv_cell(std::string_view text) {
    const bool plain = text.find_first_of(",;\"\r\n\t") == std::string_view::npos &&
                       !text.starts_with(' ') && !text.ends_with(' ');
    if (plain) return std::string(text);
    std::string cell(csv_write(nullptr, 0, text.data(), text.size()), '\0');
    csv_write(cell.data(), cell.size(), text.data(), text.size());
    return cell;
}

}  // namespace lampflight
