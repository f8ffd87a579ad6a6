# Sourced by the scripts: runs test programs and sums their test cases up.
passed=0
failed=0

# add_failure WHAT: counts a failure that no test program could report itself.
add_failure() {
    echo "FAILED: $1"
    failed=$((failed + 1))
}

# run_tests PROGRAM [ARGUMENTS]: a crash, a missing summary or an empty run counts as one failed.
run_tests() {
    local status=0 summary log
    log=$(mktemp)
    "$@" --no-colors=true 2>&1 | tee "$log" || status=${PIPESTATUS[0]}
    summary=$(grep -a '^\[doctest\] test cases:' "$log" | tail -n 1 || true)
    rm -f "$log"
    if [[ ! $summary =~ \|\ *([0-9]+)\ passed\ *\|\ *([0-9]+)\ failed ]]; then
        add_failure "$(basename "$1") ended without a summary (exit code $status)"
        return
    fi
    local these_passed=${BASH_REMATCH[1]} these_failed=${BASH_REMATCH[2]}
    passed=$((passed + these_passed))
    failed=$((failed + these_failed))
    if [ $((these_passed + these_failed)) -eq 0 ]; then
        add_failure "$(basename "$1") ran no test at all"
    elif [ "$status" -ne 0 ] && [ "$these_failed" -eq 0 ]; then
        add_failure "$(basename "$1") ended with exit code $status"
    fi
}

# Prints the totals and tells by the exit code whether all is well.
finish_tally() {
    echo "$passed passed, $failed failed"
    [ "$failed" -eq 0 ]
}
