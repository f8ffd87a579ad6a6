#include "cli/commands/retune.h"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <set>
#include <utility>

#include <fmt/format.h>

#include "cli/layers/read_layers.h"
#include "cli/pictures/picture_notes.h"
#include "cli/pictures/write_picture.h"
#include "cli/session/open_scene.h"
#include "cli/session/picture_size.h"
#include "cli/session/whole_file.h"
#include "scene/basics/wording.h"
#include "scene/planning/retune.h"
#include "scene/reader/read_shoot.h"

namespace lampflight {
namespace {

/// Ends the work with an outcome, from however deep.
struct Ended {
    Outcome outcome;
};

[[noreturn]] void end_with(ExitCode code, const std::string& message) {
    throw Ended{failure(code, message)};
}

/// Everything between the file and the picture.
class Retune {
public:
    Retune(const RetuneOptions& options, LayersFile file)
        : options_(options), file_(std::move(file)) {
        for (const Override& change : options.changes)
            if (const auto trouble = trouble_with_retuning(change))
                end_with(ExitCode::wrong_command_line,
                         *trouble + "; render the scene with it instead");
        before_ = shoot_before();
        after_ = shoot_after();
        change_lamps();
        choose_takes();
    }

    const Shoot& shoot() const { return after_; }

    /// What the picture says of itself: as a render with these values would.
    PictureNotes picture_notes(Noise noise) const {
        ExposeOptions like;
        like.settings = file_.manifest().settings;
        like.scene.overrides = all_changes();
        for (const TakeInFile* take : takes_) like.takes.push_back(take->name);
        return lampflight::picture_notes(after_, like, noise);
    }

    /// The takes' films, and what to mind about them as lines
    /// of text.
    std::vector<ExposedTake> films(std::string& notes) {
        const Retuning retuning(before_, after_);
        for (const TakeInFile* listed : takes_)
            if (const auto trouble = retuning.trouble_with_take(listed->name))
                end_with(ExitCode::wrong_command_line,
                         *trouble + "; render the scene with it instead");
        auto read = file_.takes(takes_, [&](const std::string& take, const LayerId& layer) {
            return gain_of(retuning, take, layer);
        });
        if (const auto* wrong = std::get_if<std::string>(&read)) damaged(*wrong);
        auto& takes = std::get<std::vector<ExposedTake>>(read);
        for (std::size_t i = 0; i < takes.size(); ++i) {
            takes[i].settings = settings_of(after_, *find_named(after_.takes, takes[i].name));
            notes += notes_on(*takes_[i]);
        }
        return std::move(takes);
    }

    [[noreturn]] void damaged(const std::string& what) const {
        end_with(ExitCode::file_trouble,
                 fmt::format("can't use {}: {}", options_.layers.string(), what));
    }

private:
    void set_size(Shoot& shoot) const {
        const glm::ivec2 pixels = file_.manifest().pixels;
        if (!size_of_shape(shoot.camera.pixels, pixels))
            damaged("its picture has not the shape of its scene's frame");
        set_picture_size(shoot.camera, pixels);
    }

    /// The shoot that was rendered. What is wrong with it, the file is to blame for.
    Shoot shoot_before() const {
        const LayersManifest& manifest = file_.manifest();
        Checked<Shoot> read = read_shoot(file_.scene_text(), manifest.scene_name, manifest.changes);
        if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
            damaged("its scene can't be read: " + to_string(problems->front()));
        Shoot& shoot = std::get<Shoot>(read);
        set_size(shoot);
        for (const TakeInFile& take : manifest.takes)
            if (!find_named(shoot.takes, take.name))
                damaged("its scene has no take " + in_quotes(take.name));
        if (manifest.takes.empty()) damaged("it holds no take");
        return std::move(shoot);
    }

    /// Those of the render, and those that are asked for now.
    std::vector<Override> all_changes() const {
        std::vector<Override> changes = file_.manifest().changes;
        changes.insert(changes.end(), options_.changes.begin(), options_.changes.end());
        return changes;
    }

    Shoot shoot_after() const {
        Checked<Shoot> read =
            read_shoot(file_.scene_text(), file_.manifest().scene_name, all_changes());
        if (const auto* problems = std::get_if<std::vector<Problem>>(&read))
            throw Ended{wrong_scene(*problems)};
        set_size(std::get<Shoot>(read));
        return std::get<Shoot>(std::move(read));
    }

    void change_lamps() {
        for (const LampChange& change : options_.lamps) {
            const auto lamp = std::ranges::find(after_.lamps, change.lamp, &Lamp::name);
            if (lamp == after_.lamps.end()) {
                std::vector<std::string> names;
                for (const Lamp& known : after_.lamps) names.push_back(known.name);
                end_with(ExitCode::wrong_command_line,
                         "there is no lamp " + in_quotes(change.lamp) + hint(change.lamp, names));
            }
            if (change.stops)
                lamp->flux_lm *= std::exp2(*change.stops);
            else
                out_.insert(change.lamp);
        }
    }

    bool chooses_takes() const {
        return std::ranges::find(options_.changes, "photograph.takes", &Override::key) !=
               options_.changes.end();
    }

    /// The photograph's takes if they are asked for, else those that were rendered.
    void choose_takes() {
        const std::vector<TakeInFile>& all = file_.manifest().takes;
        if (!chooses_takes()) {
            for (const TakeInFile& take : all) takes_.push_back(&take);
            return;
        }
        for (const std::string& name : after_.photograph.takes) {
            const auto take = std::ranges::find(all, name, &TakeInFile::name);
            if (take == all.end())
                end_with(ExitCode::wrong_command_line,
                         fmt::format("take {} is not in {}; render the scene with it instead",
                                     in_quotes(name), options_.layers.string()));
            takes_.push_back(&*take);
        }
    }

    std::optional<glm::vec3> gain_of(const Retuning& retuning, const std::string& take,
                                     const LayerId& layer) const {
        if (out_.contains(layer.lamp)) return std::nullopt;
        const std::optional<Rgb> gain = retuning.gain(take, layer);
        if (!gain) return std::nullopt;
        return glm::vec3(*gain);
    }

    std::string notes_on(const TakeInFile& listed) const {
        const Take& take = *find_named(after_.takes, listed.name);
        const ExposureSettings had = settings_of(before_, *find_named(before_.takes, listed.name));
        const ExposureSettings now = settings_of(after_, take);
        std::string notes = sharpness_note(take, had.f_number, now.f_number);
        constexpr double most_iso_of_half = 25600.0;
        if (now.iso > std::max(most_iso_of_half, had.iso) && file_.is_half(listed))
            notes += fmt::format(
                "note: take {} at ISO {} may show the steps of half floats in its shadows; render "
                "with --float for layers without\n",
                in_quotes(take.name), number_text(now.iso));
        return notes;
    }

    std::string sharpness_note(const Take& take, double had, double now) const {
        const auto change = had == now ? std::nullopt : visible_change(after_, take, had, now);
        if (!change) return "";
        const std::string where = std::isinf(change->depth_m)
                                      ? "the sky"
                                      : fmt::format("what stands {:.1f} m off", change->depth_m);
        return fmt::format(
            "note: take {} at f/{} instead of f/{}: the blur circle of {} is {:.1f} instead of "
            "{:.1f} pixels, the Airy disc {:.1f} instead of {:.1f}; the layers keep the focus blur "
            "of f/{}, so render again before you trust it\n",
            in_quotes(take.name), number_text(now), number_text(had), where, change->after.blur_px,
            change->before.blur_px, change->after.airy_px, change->before.airy_px,
            number_text(had));
    }

    const RetuneOptions& options_;
    LayersFile file_;
    Shoot before_;
    Shoot after_;
    std::set<std::string> out_;  ///< lamps
    std::vector<const TakeInFile*> takes_;
};

Outcome retuned(const RetuneOptions& options, PictureKind kind, const Session& session) {
    const auto start = std::chrono::steady_clock::now();
    auto opened = LayersFile::open(options.layers);
    if (const auto* wrong = std::get_if<std::string>(&opened))
        end_with(ExitCode::file_trouble,
                 fmt::format("can't read {}: {}", options.layers.string(), *wrong));
    Retune retune(options, std::get<LayersFile>(std::move(opened)));
    std::string notes;
    const std::vector<ExposedTake> takes = retune.films(notes);
    if (session.stop.stop_requested()) return interruption();
    const Noise noise = options.clean ? Noise::left_out : Noise::counted;
    const auto make = [&](const KeepRows& keep) {
        photograph(retune.shoot(), takes, noise, keep);
    };
    const auto bytes =
        picture_bytes(retune.shoot().camera.pixels, make, kind, retune.picture_notes(noise));
    if (!bytes) end_with(ExitCode::fault, "not enough memory for the picture");
    if (const auto written = write_whole_file(options.picture, *bytes, session.stop); !written)
        return written.failure();
    if (options.quiet) return {};
    const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
    const glm::ivec2 pixels = retune.shoot().camera.pixels;
    return {ExitCode::done, "",
            notes + fmt::format("{}: {} x {} pixels, {:.2f} s\n", options.picture.string(),
                                pixels.x, pixels.y, taken.count())};
}

}  // namespace

Outcome run_retune(const RetuneOptions& options, const Session& session) {
    const auto kind = picture_kind(options.picture);
    if (!kind) return failure(ExitCode::wrong_command_line, unknown_kind_text(options.picture));
    if (const auto writable = check_writable(options.picture); !writable) return writable.failure();
    try {
        return retuned(options, *kind, session);
    } catch (const Ended& ended) {
        return ended.outcome;
    }
}

}  // namespace lampflight
