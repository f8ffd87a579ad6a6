#!/usr/bin/env bash
# Builds the fuzzer of layer files with clang++ and runs it for so many seconds (default 600) on
# small files that a built lampflight renders. Findings are left in the fuzz build's folder.
# LAMPFLIGHT_BUILD names the build folder with that program, LAMPFLIGHT_FUZZ_BUILD the fuzzer's.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
source tests/build.sh

seconds=${1:-600}
program=${LAMPFLIGHT_BUILD:-build}/lampflight
build=${LAMPFLIGHT_FUZZ_BUILD:-build-fuzz}
build_program "$build" lampflight_fuzz_layers -DCMAKE_CXX_COMPILER=clang++ \
    -DCMAKE_BUILD_TYPE=Release -DCMAKE_CXX_FLAGS_RELEASE="-O1 -g1" -DLAMPFLIGHT_FUZZ=ON \
    -DLAMPFLIGHT_TESTS=OFF -DLAMPFLIGHT_NATIVE=OFF

corpus=$build/corpus
mkdir -p "$corpus"
for samples in "" --float; do
    "$program" render scenes/ruin-sweep.toml -o "$build/seed.png" --quality draft --size 24x16 \
        --quiet --layers "$corpus/seed$samples.exr" $samples
done
# A take's film is asked for whole, but only rows that the file has are ever written to.
"$build/tests/fuzz/lampflight_fuzz_layers" "$corpus" -max_total_time="$seconds" -timeout=20 \
    -rss_limit_mb=2048 -malloc_limit_mb=6144 -artifact_prefix="$build/" -print_final_stats=1 -verbosity=0
