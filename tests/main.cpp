#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#ifdef __SANITIZE_ADDRESS__
// Memory that there is not is refused, as tests of that ask for, and does not end the run.
extern "C" const char* __asan_default_options() {
    return "allocator_may_return_null=1";
}
#endif
