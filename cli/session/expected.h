// A value, or the outcome that ends the command in its stead.
#pragma once

#include <utility>
#include <variant>

#include "cli/session/outcome.h"

namespace lampflight {

/// The value of a step that has nothing to give.
struct Done {};

/// What a step of a command comes to: `if (!shoot) return shoot.failure();`
template <class Value>
class Expected {
public:
    Expected(Value value) : held_(std::in_place_index<0>, std::move(value)) {}
    Expected(Outcome failure) : held_(std::in_place_index<1>, std::move(failure)) {}

    explicit operator bool() const { return held_.index() == 0; }

    Value& operator*() & { return std::get<0>(held_); }
    const Value& operator*() const& { return std::get<0>(held_); }
    Value&& operator*() && { return std::get<0>(std::move(held_)); }
    Value* operator->() { return &std::get<0>(held_); }
    const Value* operator->() const { return &std::get<0>(held_); }

    /// Why there is no value; only where there is none.
    const Outcome& failure() const { return std::get<1>(held_); }

private:
    std::variant<Value, Outcome> held_;
};

}  // namespace lampflight
