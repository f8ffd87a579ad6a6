// What reading a file of layers throws, and how it is put in words.
#pragma once

#include <string>
#include <string_view>
#include <system_error>
#include <variant>

#include <OpenEXR/Iex.h>

#include "cli/exr_streams.h"
#include "scene/wording.h"

namespace lampflight {

/// What is wrong with a file, in a few words.
struct UnfitLayers {
    std::string what;
};

/// Runs a step of reading; what is wrong comes back in a few words, whoever found it.
template <class Step>
auto guarded(Step step) -> std::variant<decltype(step()), std::string> {
    constexpr std::size_t longest_message = 160;
    try {
        return step();
    } catch (const UnfitLayers& unfit) {
        return unfit.what;
    } catch (const Iex::BaseExc& error) {
        const std::string_view said(error.what());
        if (said.ends_with(ended_too_early)) return std::string(ended_too_early);
        return "it is damaged (" + printable(said, longest_message) + ")";
    } catch (const std::system_error& error) {
        return error.code().message();
    }
}

}  // namespace lampflight
