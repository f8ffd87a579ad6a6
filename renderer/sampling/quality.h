// How good a render is to be.
#pragma once

namespace lampflight {

/// One computation at three error bounds.
enum class Quality { draft, good, fine };

}  // namespace lampflight
