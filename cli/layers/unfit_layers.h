// What reading a file of layers throws, and how it is put in words.
#pragma once

#include <new>
#include <string>
#include <variant>

namespace lampflight {

/// What is wrong with a file, in a few words.
struct UnfitLayers {
    std::string what;
};

/// Runs a step of reading; what is wrong comes back in a few words, whoever found it.
template <class Step>
auto guarded(Step step) -> std::variant<decltype(step()), std::string> {
    try {
        return step();
    } catch (const UnfitLayers& unfit) {
        return unfit.what;
    } catch (const std::bad_alloc&) {
        return "there is not enough memory to read it";
    }
}

}  // namespace lampflight
