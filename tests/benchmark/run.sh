#!/usr/bin/env bash
# Builds the benchmark, runs it, prints its tables, and leaves the raw figures as JSON beside it.
# Arguments go to the program: --benchmark_filter=REGEX runs a part (see README), --every=1 lights
# the whole of the small film. LAMPFLIGHT_BUILD names another build folder than build/.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
source tests/build.sh

build=${LAMPFLIGHT_BUILD:-build}
tests/packages.sh
echo "Building into $build/ ..."
build_program "$build" lampflight_benchmark -DCMAKE_BUILD_TYPE=Release -DLAMPFLIGHT_TESTS=ON
"$build/tests/benchmark/lampflight_benchmark" \
    --benchmark_out="$build/benchmark.json" --benchmark_out_format=json "$@"
echo "Raw figures: $build/benchmark.json"
