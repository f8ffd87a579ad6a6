#include "cli/drawing/letters.h"

#include <cmath>
#include <stdexcept>
#include <vector>

#include <stb_truetype.h>

namespace lampflight {

/// The font that is made part of the program.
std::string_view font_file();

namespace {

const stbtt_fontinfo& font() {
    static const stbtt_fontinfo info = [] {
        stbtt_fontinfo made{};
        const auto* bytes = reinterpret_cast<const unsigned char*>(font_file().data());
        if (stbtt_InitFont(&made, bytes, 0) == 0)
            throw std::runtime_error("the built-in font can't be read");
        return made;
    }();
    return info;
}

/// Characters of UTF-8; a byte that is not part of one stands for itself, as U+FFFD.
std::vector<int> characters_of(std::string_view utf8) {
    std::vector<int> characters;
    for (std::size_t i = 0; i < utf8.size();) {
        const auto first = static_cast<unsigned char>(utf8[i++]);
        int more = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : first >= 0xC0 ? 1 : 0;
        int character = first < 0x80 ? first : more == 0 ? 0xFFFD : first & (0x3F >> more);
        for (; more > 0 && i < utf8.size(); --more)
            character = character << 6 | (static_cast<unsigned char>(utf8[i++]) & 0x3F);
        characters.push_back(more > 0 ? 0xFFFD : character);
    }
    return characters;
}

/// Walks along a text: `visit` gets each glyph and where it begins, in pixels from the foot. Gives
/// the whole width.
template <class Visit>
double walk(double size, std::string_view utf8, Visit visit) {
    const auto scale =
        static_cast<double>(stbtt_ScaleForPixelHeight(&font(), static_cast<float>(size)));
    double place = 0.0;
    int before = 0;
    for (const int character : characters_of(utf8)) {
        const int glyph = stbtt_FindGlyphIndex(&font(), character);
        if (before != 0) place += scale * stbtt_GetGlyphKernAdvance(&font(), before, glyph);
        visit(glyph, place, static_cast<float>(scale));
        int advance = 0;
        int bearing = 0;
        stbtt_GetGlyphHMetrics(&font(), glyph, &advance, &bearing);
        place += scale * advance;
        before = glyph;
    }
    return place;
}

}  // namespace

void draw_letters(const Vec2& foot, double size, std::string_view utf8, const CoverPixel& cover) {
    const double line = std::floor(foot.y + 0.5);
    walk(size, utf8, [&](int glyph, double place, float scale) {
        const double begin = foot.x + place;
        const double whole = std::floor(begin);
        const auto shift = static_cast<float>(begin - whole);
        int left = 0;
        int top = 0;
        int right = 0;
        int bottom = 0;
        stbtt_GetGlyphBitmapBoxSubpixel(&font(), glyph, scale, scale, shift, 0.0f, &left, &top,
                                        &right, &bottom);
        const int width = right - left;
        const int height = bottom - top;
        if (width <= 0 || height <= 0) return;
        std::vector<unsigned char> covers(static_cast<std::size_t>(width) *
                                          static_cast<std::size_t>(height));
        stbtt_MakeGlyphBitmapSubpixel(&font(), covers.data(), width, height, width, scale, scale,
                                      shift, 0.0f, glyph);
        const unsigned char* share = covers.data();
        for (int y = 0; y < height; ++y)
            for (int x = 0; x < width; ++x, ++share)
                if (*share != 0)
                    cover(static_cast<int>(whole) + left + x, static_cast<int>(line) + top + y,
                          *share / 255.0);
    });
}

double letters_width(double size, std::string_view utf8) {
    return walk(size, utf8, [](int, double, float) {});
}

}  // namespace lampflight
