# Turns the star catalogue into a source file: cmake -DCATALOGUE=in.csv -DSOURCE=out.cpp -P this.
file(READ "${CATALOGUE}" text)
string(REGEX REPLACE "(^|\n)[#h][^\n]*" "" text "${text}")
set(number "-?[0-9]+\\.[0-9]+")
string(REGEX REPLACE "[0-9]+,(${number}),(${number}),(${number}),(${number})"
  "    {\\1, \\2, \\3, \\4}," text "${text}")
string(REGEX REPLACE "[0-9]+,(${number}),(${number}),(${number}),\n"
  "    {\\1, \\2, \\3, unknown_b_v},\n" text "${text}")
file(WRITE "${SOURCE}" "#include \"scene/sky/bright_stars.h\"

namespace lampflight {
namespace {

constexpr BrightStar stars[] = {${text}};

}  // namespace

std::span<const BrightStar> bright_stars() { return stars; }

}  // namespace lampflight
")
