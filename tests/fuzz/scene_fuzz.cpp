// libFuzzer's way into scenes: what the reader takes is checked as `check` does, and its figures
// must be finite. Meshes are left out: the obj fuzzer has them.
#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include <tbb/global_control.h>

#include "cli/reports/check_report.h"
#include "scene/planning/shoot_figures.h"
#include "scene/reader/read_shoot.h"
#include "scene/subjects/models/models.h"

using namespace lampflight;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const tbb::global_control one_thread(tbb::global_control::max_allowed_parallelism, 1);
    const std::string text(reinterpret_cast<const char*>(data), size);
    // None are there, so that no file of the machine is opened.
    const PathFiles no_files;
    auto read = read_shoot(text, "fuzz.toml", {}, &no_files);
    if (const auto* problems = std::get_if<std::vector<Problem>>(&read)) {
        if (problems->empty()) std::abort();
        for (const Problem& problem : *problems)
            if (problem.text.empty() || problem.line < 1) std::abort();
        return 0;
    }
    PlacedShoot shoot;
    static_cast<Shoot&>(shoot) = std::get<Shoot>(std::move(read));
    // Meshes from files are stood in for: what aims at a subject finds it.
    static const Mesh boulder = model_mesh(Model::boulder);
    shoot.meshes.assign(shoot.subjects.size(), boulder);
    const ShootFigures figures = shoot_figures(shoot);
    const RenderNeed render{Quality::draft, shoot.camera.pixels, 1e8, 1.0};
    if (check_json(figures, render).empty()) std::abort();
    const std::string report = check_text(figures, render, 72);
    for (const char* word : {" nan ", " -nan ", " inf ", " -inf "})
        if (report.find(word) != std::string::npos) std::abort();
    return 0;
}
