// sRGB as a colour profile, for files that can say it in no other way.
#pragma once

#include <string>

namespace lampflight {

/// A display profile by matrix and curve of ISO 15076-1 (ICC.1:2010, version 4), always the same
/// bytes. Primaries and curve are those of IEC 61966-2-1, adapted to D50 by Bradford's matrix.
std::string srgb_profile();

}  // namespace lampflight
