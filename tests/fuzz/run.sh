#!/usr/bin/env bash
# Builds the fuzzers with clang++ and runs each for so many seconds (default 600); kinds of files
# named after them choose: `run.sh 60 path svg`. They begin from small files: those in corpus/KIND,
# for layers two that a built lampflight renders, for scenes those of scenes/ and tests/broken/.
# Findings are left in the fuzz build's folder.
# LAMPFLIGHT_BUILD names the build folder with that program, LAMPFLIGHT_FUZZ_BUILD the fuzzers'.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
source tests/build.sh

seconds=${1:-600}
shift || true
kinds=("$@")
if [ ${#kinds[@]} -eq 0 ]; then
    for source in tests/fuzz/*_fuzz.cpp; do kinds+=("$(basename "$source" _fuzz.cpp)"); done
fi
for kind in "${kinds[@]}"; do
    if [ ! -e "tests/fuzz/${kind}_fuzz.cpp" ]; then
        echo "There is no fuzzer of \"$kind\"; each is a file tests/fuzz/KIND_fuzz.cpp." >&2
        exit 2
    fi
done
program=${LAMPFLIGHT_BUILD:-build}/lampflight
build=${LAMPFLIGHT_FUZZ_BUILD:-build-fuzz}
build_program "$build" "$(printf 'lampflight_%s_fuzz ' "${kinds[@]}")" \
    -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=Release -DCMAKE_CXX_FLAGS_RELEASE="-O1 -g1" \
    -DLAMPFLIGHT_FUZZ=ON -DLAMPFLIGHT_TESTS=OFF -DLAMPFLIGHT_NATIVE=OFF

# Small files to begin from.
gather_seeds() {
    local kind=$1 folder=$2
    mkdir -p "$folder"
    if [ -d "tests/fuzz/corpus/$kind" ]; then cp "tests/fuzz/corpus/$kind"/* "$folder/"; fi
    if [ "$kind" = scene ]; then cp scenes/*.toml scenes/start/*.toml tests/broken/*.toml "$folder/"; fi
    if [ "$kind" != layers ]; then return; fi
    for samples in "" --float; do
        "$program" render scenes/ruin-sweep.toml -o "$build/seed.png" --quality draft --size 24x16 \
            --quiet --layers "$folder/seed$samples.exr" $samples
    done
}

# Words that a kind's files are made of, as libFuzzer reads them: for scenes, all keys and tables.
# An empty list is refused, so the other kinds have none.
gather_words() {
    local kind=$1 file=$2
    words=()
    case $kind in scene | overrides) ;; *) return ;; esac
    words=("-dict=$file")
    "$program" keys --json | grep -oE '"[a-z_0-9.-]+"' | sort -u >"$file"
}

for kind in "${kinds[@]}"; do
    echo "Fuzzing files of kind $kind for $seconds s ..."
    gather_seeds "$kind" "$build/corpus/$kind"
    gather_words "$kind" "$build/$kind.dict"
    # A take's film is asked for whole, but only rows that the file has are ever written to.
    "$build/tests/fuzz/lampflight_${kind}_fuzz" "$build/corpus/$kind" -max_total_time="$seconds" \
        -timeout=20 -rss_limit_mb=2048 -malloc_limit_mb=6144 -artifact_prefix="$build/$kind-" \
        "${words[@]}" -print_final_stats=1 -verbosity=0
done
