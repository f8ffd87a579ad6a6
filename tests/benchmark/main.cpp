// The benchmark: methods for the shutter's light compared at the same work, how the product's own
// grows, and how far light that bounces errs. `--every=N` lights every Nth tile of the small film
// (1: all of it); `--full` renders the demo picture at 6000 x 4000 too.
#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <exception>
#include <string_view>

#include "tests/benchmark/registration.h"
#include "tests/benchmark/report.h"
#include "tests/benchmark/truth.h"

namespace {

struct Options {
    int every = 7;
    bool full = false;
};

/// Takes our own words out of the arguments.
Options take_options(int& argc, char** argv) {
    constexpr std::string_view every = "--every=";
    Options options;
    int kept = 0;
    for (int i = 0; i < argc; ++i) {
        const std::string_view word(argv[i]);
        if (word.starts_with(every))
            std::from_chars(word.data() + every.size(), word.data() + word.size(), options.every);
        else if (word == "--full")
            options.full = true;
        else
            argv[kept++] = argv[i];
    }
    argc = kept;
    options.every = std::max(1, options.every);
    return options;
}

}  // namespace

int main(int argc, char** argv) {
    using namespace lampflight::bench;
    const Options options = take_options(argc, argv);
    benchmark::Initialize(&argc, argv);
    if (benchmark::ReportUnrecognizedArguments(argc, argv)) return 2;
    register_pictures(options.full);
    register_retune(options.full);
    register_layers(options.every);
    register_bare_rates();
    register_scaling();
    register_skies();
    register_bounces();
    register_trails();
    register_development(options.full);
    try {
        benchmark::RunSpecifiedBenchmarks();
    } catch (const std::exception& error) {
        fmt::print(stderr, "{}\n", error.what());
        return 1;
    }
    fmt::print(
        "\nLit and judged: every {}th tile of 32 x 32 pixels of 960 x 640; times are for "
        "the whole film.\nTruth: very many fixed times over each pixel's film samples. "
        "Pixels above 2 % of the mean count.\n"
        "Clock s: seconds on the clock, all cores. Cores s: seconds of all cores together; "
        "Mrays/cs: million rays in one of these.\n",
        options.every);
    print_report();
    return 0;
}
