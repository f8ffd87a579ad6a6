// Scene files drawn by lot from the table of keys, for tests that no scene may upset.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

namespace lampflight {

/// The text of a scene file, always the same for a seed. Every value lies within its key's range,
/// often at its ends; what keys forbid together is not left out, so the reader refuses some scenes.
/// Two of three are sound scenes with 1 to 12 keys changed, the rest is drawn throughout. Frames
/// are of 24 to 72 pixels. Some name files that lie in scenes/: heart.svg, steps.csv, tower.obj.
std::string drawn_scene(std::uint64_t seed);

/// The text without some of its lines, counted from 1; with the head of a table goes the table.
/// Strikes what the reader refused, so that more of the drawn scenes come to be rendered.
std::string without_lines(const std::string& text, const std::vector<int>& lines);

}  // namespace lampflight
