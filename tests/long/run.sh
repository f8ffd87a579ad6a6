#!/usr/bin/env bash
# Builds and runs the checks of this folder, which take too long for tests/run.sh. The last line is
# "N passed, N failed". Any arguments go to CMake.
# LAMPFLIGHT_BUILD names another build folder than build/.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/../.."
source tests/build.sh
source tests/tally.sh

build=${LAMPFLIGHT_BUILD:-build}
tests/packages.sh long
echo "Building into $build/ ..."
if build_program "$build" lampflight_long_tests -DCMAKE_BUILD_TYPE=Release -DLAMPFLIGHT_TESTS=ON "$@"; then
    run_tests "$build/tests/lampflight_long_tests"
else
    add_failure "the build"
fi
finish_tally
