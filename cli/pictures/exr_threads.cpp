#include "cli/pictures/exr_threads.h"

#include <OpenEXR/ImfThreading.h>
#include <tbb/task_arena.h>

namespace lampflight {

void set_exr_threads() {
    const int threads = tbb::this_task_arena::max_concurrency();
    const int wanted = threads > 1 ? threads : 0;  // none besides the one that asks
    if (Imf::globalThreadCount() != wanted) Imf::setGlobalThreadCount(wanted);
}

}  // namespace lampflight
