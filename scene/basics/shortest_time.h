// The shortest times that are told apart.
#pragma once

namespace lampflight {

/// Times nearer than this are one, told apart by rounding alone: neither what is common to windows
/// of time nor a presence or a flash is as short.
constexpr double rounding_s = 1e-9;

/// The shortest window of time, or flash, that a scene may state.
constexpr double shortest_stated_s = 1e-6;

}  // namespace lampflight
