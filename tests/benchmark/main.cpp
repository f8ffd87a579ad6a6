// The benchmark: methods for the shutter's light compared at the same work, and how the product's
// own grows. `--every=N` lights every Nth tile of the small film (1: all of it).
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <charconv>
#include <exception>
#include <string_view>

#include "tests/benchmark/registration.h"
#include "tests/benchmark/report.h"
#include "tests/benchmark/truth.h"

namespace {

constexpr int usual_every = 7;

/// Takes `--every=N` out of the arguments.
int take_every(int& argc, char** argv) {
    constexpr std::string_view flag = "--every=";
    int every = usual_every;
    int kept = 0;
    for (int i = 0; i < argc; ++i) {
        const std::string_view word(argv[i]);
        if (i > 0 && word.starts_with(flag))
            std::from_chars(word.data() + flag.size(), word.data() + word.size(), every);
        else
            argv[kept++] = argv[i];
    }
    argc = kept;
    return every > 0 ? every : usual_every;
}

}  // namespace

int main(int argc, char** argv) {
    using namespace lampflight::bench;
    const int every = take_every(argc, argv);
    benchmark::Initialize(&argc, argv);
    if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
    register_layers(every);
    register_bare_rates();
    register_scaling();
    register_pictures();
    try {
        benchmark::RunSpecifiedBenchmarks();
    } catch (const std::exception& error) {
        fmt::print(stderr, "{}\n", error.what());
        return 1;
    }
    fmt::print(
        "\nLit and judged: every {}th tile of 32 x 32 pixels of 960 x 640; times are for "
        "the whole film.\nTruth: {} fixed times a pixel over {} film samples. "
        "Pixels above 2 % of the mean count.\n"
        "Clock s: seconds on the clock, all cores. Cores s: seconds of all cores together; "
        "Mrays/cs: million rays in one of these.\n",
        every, truth_times, film_samples());
    print_report();
    return 0;
}
