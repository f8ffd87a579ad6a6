// libFuzzer's way into `--set`: each line of the input is one change to a scene that uses every
// table.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <sstream>
#include <string>
#include <variant>
#include <vector>

#include "scene/planning/retune.h"
#include "scene/reader/read_shoot.h"
#include "tests/full_scene.h"

using namespace lampflight;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    std::istringstream lines(std::string(reinterpret_cast<const char*>(data), size));
    std::vector<Override> changes;
    for (std::string line; std::getline(lines, line) && changes.size() < 20;) {
        const std::size_t equals = line.find('=');
        if (equals == std::string::npos || equals == 0) continue;
        changes.push_back({line.substr(0, equals), line.substr(equals + 1)});
        const auto trouble = trouble_with_retuning(changes.back());
        if (trouble && trouble->empty()) std::abort();
    }
    const PathFiles no_files;
    const auto read = read_shoot(full_scene, "fuzz.toml", changes, &no_files);
    const auto* problems = std::get_if<std::vector<Problem>>(&read);
    if (problems == nullptr) return 0;
    if (problems->empty()) std::abort();
    for (const Problem& problem : *problems)
        if (problem.text.empty()) std::abort();
    return 0;
}
