# Turns a file into a source file: cmake -DFILE=in -DNAME=halo_scene -DSOURCE=out.cpp -P this gives
# `std::string_view halo_scene()` with the file's bytes.
file(READ "${FILE}" bytes HEX)
string(REGEX REPLACE "(................................)" "\\1\n" bytes "${bytes}")
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
file(WRITE "${SOURCE}" "#include <string_view>

namespace lampflight {
namespace {

constexpr unsigned char bytes[] = {
${bytes}};

}  // namespace

std::string_view ${NAME}() { return {reinterpret_cast<const char*>(bytes), sizeof bytes}; }

}  // namespace lampflight
")
