# Turns a font into a source file: cmake -DFONT=in.ttf -DSOURCE=out.cpp -P this.
file(READ "${FONT}" bytes HEX)
string(REGEX REPLACE "(................................)" "\\1\n" bytes "${bytes}")
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
file(WRITE "${SOURCE}" "#include \"cli/drawing/letters.h\"

namespace lampflight {
namespace {

constexpr unsigned char bytes[] = {
${bytes}};

}  // namespace

std::span<const unsigned char> font_file() { return bytes; }

}  // namespace lampflight
")
