#!/usr/bin/env bash
# Runs every command over the demo scenes, small, in a program built with sanitizers: `sanitize.sh
# address thread` does both, which is the default; `address` has the undefined-behaviour sanitizer
# with it. The last line is "N passed, N failed".
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
source tests/build.sh
source tests/tally.sh

# Reports are told apart from the program's own exit codes by theirs.
report_code=99
export ASAN_OPTIONS=exitcode=$report_code
export UBSAN_OPTIONS=print_stacktrace=1
export TSAN_OPTIONS="exitcode=$report_code suppressions=$PWD/tests/thread_sanitizer.supp"

# try WORDS...: the program must end well.
try() {
    local status=0 log
    log=$(mktemp)
    "$program" "$@" >"$log" 2>&1 || status=$?
    if [ "$status" -eq 0 ]; then
        passed=$((passed + 1))
    else
        cat "$log" >&2
        add_failure "$kind: lampflight $* (exit code $status)"
    fi
    rm -f "$log"
}

try_scene() {
    local scene=$1 has_place=$2 out=$3
    try check "$scene" -o "$out/plan.svg"
    try check "$scene" --json
    try render "$scene" -o "$out/picture.png" --quality draft --size 48x32 --guides
    try render "$scene" -o "$out/picture.exr" --quality draft --size 48x32 --layers "$out/layers.exr"
    try retune "$out/layers.exr" -o "$out/retuned.tif" --set camera.iso=800
    try meter "$scene" --quality draft --size 48x32 --json
    if [ "$has_place" = yes ]; then try dusk "$scene"; fi
}

kinds=${*:-address thread}
for kind in $kinds; do
    case $kind in
    address) sanitizers=address,undefined ;;
    thread) sanitizers=thread ;;
    *)
        echo "There is no sanitizer \"$kind\" here; allowed are address and thread." >&2
        exit 2
        ;;
    esac
    build=build-sanitize-$kind
    program=$build/lampflight
    if ! build_program "$build" lampflight -DLAMPFLIGHT_SANITIZE="$sanitizers" \
        -DLAMPFLIGHT_TESTS=OFF -DCMAKE_BUILD_TYPE=Debug -DCMAKE_CXX_FLAGS_DEBUG="-O1 -g1"; then
        add_failure "the build with $sanitizers"
        continue
    fi
    out=$(mktemp -d)
    try keys
    for start in halo ring helix sweep; do try start "$start" -o "$out/$start.toml"; done
    for scene in scenes/*.toml; do
        has_place=no
        if grep -q '^\[place\]' "$scene"; then has_place=yes; fi
        try_scene "$scene" "$has_place" "$out"
    done
    rm -rf "$out"
done
finish_tally
