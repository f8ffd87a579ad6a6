#include "scene/sky/bright_stars.h"

#include <algorithm>
#include <charconv>
#include <string_view>
#include <vector>

namespace lampflight {

/// The catalogue's file, made part of the program.
std::string_view bright_stars_csv();

namespace {

/// Cuts a text off up to a mark, or the whole where there is none.
std::string_view cut(std::string_view& text, char mark) {
    const std::string_view first = text.substr(0, text.find(mark));
    text.remove_prefix(std::min(text.size(), first.size() + 1));
    return first;
}

double number_or(std::string_view text, double otherwise) {
    std::from_chars(text.data(), text.data() + text.size(), otherwise);
    return otherwise;
}

std::vector<BrightStar> stars_in(std::string_view csv) {
    std::vector<BrightStar> stars;
    while (!csv.empty()) {
        std::string_view row = cut(csv, '\n');
        if (row.starts_with('#') || row.starts_with("hip")) continue;
        cut(row, ',');
        BrightStar& star = stars.emplace_back();
        star.ra_deg = number_or(cut(row, ','), 0.0);
        star.dec_deg = number_or(cut(row, ','), 0.0);
        star.v_mag = number_or(cut(row, ','), 0.0);
        star.b_v = number_or(row, unknown_b_v);
    }
    return stars;
}

}  // namespace

std::span<const BrightStar> bright_stars() {
    static const std::vector<BrightStar> stars = stars_in(bright_stars_csv());
    return stars;
}

}  // namespace lampflight
