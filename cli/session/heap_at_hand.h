// How the program asks the system for memory.
#pragma once

namespace lampflight {

/// On some machines memory takes longer to be handed out, page by page, than to be filled. So what
/// is freed is kept, and the heap lies in large pages; it is one for all threads, since those
/// seldom ask it for more than their caches hold. To be called first.
void keep_heap_at_hand();

}  // namespace lampflight
