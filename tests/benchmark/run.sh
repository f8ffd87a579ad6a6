#!/usr/bin/env bash
# Builds the benchmark, runs it, prints its tables, and leaves the raw figures as JSON beside it.
#   tests/benchmark/run.sh                                         all of it
#   tests/benchmark/run.sh --benchmark_filter=layer/thicket_close  a part
#   tests/benchmark/run.sh --benchmark_list_tests                  the parts there are
#   --every=1  lights all of 960 x 640, not every 7th tile, from which times are scaled to the whole
#   --full     adds the demo picture at 6000 x 4000
# It lights the same surface points by Lampflight's way and by three plain ones: fixed times with one
# ray a call, fixed times in packets of 16 pixels, stratified random times. Scenes: open ground with
# a rock and a thicket of poles and leaves, each under a high circle and a close spiral, and the demo
# scenes. Tables tell rays a pixel, time, rate beside bare Embree, and the error against thousands of
# instants a pixel: rms, worst hundredth, 8 x 8 means, bias, share of fine shadows kept; then the
# time of each method to 1 % rms, how time grows with pixels, triangles and lamps, whole pictures
# with their peak memory, retune beside reading its file, the share of lens and sensor, what the sky
# over a place costs, a wide trail beside a narrow one, and how far light that bounces errs in the shade behind a doorway, by level.
# Truths are worked out once and kept in the build folder.
# LAMPFLIGHT_DOORWAY_TRUTH names another folder for the doorway's.
# LAMPFLIGHT_BUILD names another build folder than build/.
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
