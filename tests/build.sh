# Sourced by the scripts: how the program is built, quiet unless it fails.

# build_program FOLDER TARGETS [CMAKE OPTIONS]: configures and builds in a folder of the checkout.
# TARGETS is a list in one word; the checkout is the current folder.
build_program() {
    local folder=$1 targets=$2 log status=0
    shift 2
    log=$(mktemp)
    # shellcheck disable=SC2086 # the targets are words
    {
        cmake -S . -B "$folder" "$@" &&
            cmake --build "$folder" -j "$(nproc)" --target $targets
    } >"$log" 2>&1 || status=$?
    if [ "$status" -ne 0 ]; then cat "$log" >&2; fi
    rm -f "$log"
    return "$status"
}
