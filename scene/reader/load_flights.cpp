#include "scene/reader/load_flights.h"

#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "scene/basics/angle.h"
#include "scene/basics/files_there.h"
#include "scene/basics/nearest_word.h"
#include "scene/basics/text_of_file.h"
#include "scene/basics/utf8.h"
#include "scene/basics/wording.h"
#include "scene/flights/figure.h"
#include "scene/flights/files/path_file.h"
#include "scene/flights/files/svg_reader.h"
#include "scene/flights/flight_shapes.h"
#include "scene/shoot/flown_flight.h"

namespace lampflight {
namespace {

// Of a shape that is drawn, where neither flight nor drone states any. Common practice, no source.
constexpr double drawn_acceleration_m_s2 = 2.0;

// Of all path files of a scene together, so that a file of layers can hold them as well.
constexpr std::size_t most_bytes = std::size_t{16} << 20;

/// Reads what the flights of one scene are drawn from.
class FlightFiles {
public:
    FlightFiles(Reading& reading, const std::filesystem::path& beside, const PathFiles* given)
        : reading_(reading), shoot_(reading.shoot), beside_(beside), given_(given) {}

    std::vector<Problem> read() && {
        for (std::size_t i = 0; i < shoot_.flights.size(); ++i) {
            Flight& flight = shoot_.flights[i];
            const TableRef ref{"flight", i};
            if (!reading_.map.is_sound(ref, "shape")) continue;
            if (flight.shape == FlightShape::waypoints) waypoints(ref, flight);
            face_camera(ref, flight);
            if (flight.shape == FlightShape::figure) figure(ref, flight);
            add_limits(flight);
        }
        return std::move(problems_);
    }

private:
    void add(TableRef ref, std::string_view key, const std::string& text) {
        problems_.push_back(problem_at(reading_.map.value(ref, key), text));
    }

    /// `"figure" in [[flight]] "heart" is "heart.svg"`.
    std::string file_words(TableRef ref, std::string_view key, const std::string& name) const {
        return fmt::format("{} is {}", reading_.map.label(ref, key), in_quotes(name));
    }

    const std::string* text_of(TableRef ref, std::string_view key, const std::string& name,
                               const std::string& extension) {
        if (const auto known = shoot_.path_files.find(name); known != shoot_.path_files.end())
            return &known->second;
        const std::filesystem::path file = beside_ / name;
        FileText read = given(name, file);
        if (const std::string fault = fault_of(read, file, extension); !fault.empty()) {
            add(ref, key, fmt::format("{}, which {}", file_words(ref, key, name), fault));
            return nullptr;
        }
        std::string& text = std::get<std::string>(read);
        bytes_ += text.size();
        return &shoot_.path_files.emplace(name, std::move(text)).first->second;
    }

    FileText given(const std::string& name, const std::filesystem::path& file) const {
        if (!given_) return text_of_file(file, most_bytes);
        if (const auto kept = given_->find(name); kept != given_->end()) return kept->second;
        return FileFault{FileFault::Kind::absent, "", 0};
    }

    /// Empty for a sound text that still has room beside the others.
    std::string fault_of(const FileText& read, const std::filesystem::path& file,
                         const std::string& extension) const {
        const auto* fault = std::get_if<FileFault>(&read);
        if (const std::string instead = fault ? instead_of_file(file, extension) : ""; !instead.empty())
            return "is " + instead;
        if (fault && fault->kind == FileFault::Kind::absent)
            return "is not there";  // no longer
        if (fault && fault->kind != FileFault::Kind::too_large)
            return fmt::format("can't be read: {}; allowed is a file that you may read",
                               fault->what);
        const std::uintmax_t bytes = fault ? fault->bytes : std::get<std::string>(read).size();
        if (bytes > most_bytes - bytes_)
            return fmt::format("holds {}; allowed are {} for all such files of a scene together",
                               size_text(bytes), size_text(most_bytes));
        if (!is_utf8(std::get<std::string>(read)))
            return "is no text in UTF-8; allowed is a file saved as UTF-8";
        return "";
    }

    void waypoints(TableRef ref, Flight& flight) {
        if (flight.waypoints) return waypoints_of_file(ref, flight);
        for (const SceneWaypoint& waypoint : shoot_.waypoints)
            if (waypoint.flight == flight.name) flight.path.push_back(waypoint);
    }

    void waypoints_of_file(TableRef ref, Flight& flight) {
        const std::string& name = *flight.waypoints;
        if (!reading_.map.is_sound(ref, "waypoints")) return;
        const auto format = path_format_of(name);
        if (!format)
            return add(ref, "waypoints",
                       fmt::format("{}; allowed is a .csv, .geojson, .gpx or .kml file",
                                   file_words(ref, "waypoints", name)));
        const std::string* text =
            text_of(ref, "waypoints", name, std::filesystem::path(name).extension().string());
        if (!text) return;
        PathFileResult read = read_path_file(*text, *format, origin_of(flight));
        if (const std::string* fault = std::get_if<std::string>(&read))
            return add(ref, "waypoints",
                       fmt::format("{}: {}", file_words(ref, "waypoints", name), *fault));
        const std::vector<FilePath>& paths = std::get<std::vector<FilePath>>(read);
        if (const FilePath* path = chosen(ref, flight, paths)) flight.path = path->points;
    }

    /// The path that a flight asks for, or the only one.
    const FilePath* chosen(TableRef ref, const Flight& flight, const std::vector<FilePath>& paths) {
        std::vector<std::string> names;
        for (const FilePath& path : paths) names.push_back(path.name);
        const std::string wanted = flight.track.value_or(flight.name);
        for (const FilePath& path : paths)
            if (path.name == wanted) return &path;
        if (!flight.track && paths.size() == 1) return &paths.front();
        const std::string words = file_words(ref, "waypoints", *flight.waypoints);
        if (flight.track)
            add(ref, "track",
                fmt::format("{} is {}, which {} does not hold{}", reading_.map.label(ref, "track"),
                            in_quotes(wanted), in_quotes(*flight.waypoints), hint(wanted, names)));
        else
            add(ref, "waypoints",
                fmt::format("{}, which holds {} paths; name one with \"track\": {}", words,
                            paths.size(), alternatives(names)));
        return nullptr;
    }

    PathOrigin origin_of(const Flight& flight) const {
        PathOrigin origin;
        if (const auto& place = shoot_.place; place && sound_place())
            origin.place.emplace(place->latitude_deg, place->longitude_deg, place->elevation_m);
        if (const Drone* drone = drone_of(shoot_, flight)) origin.home_up_m = drone->home_m.z;
        return origin;
    }

    bool sound_place() const {
        return reading_.map.all_sound({"place", 0},
                                      {"latitude_deg", "longitude_deg", "elevation_m"});
    }

    void face_camera(TableRef ref, Flight& flight) const {
        const bool faced =
            flight.shape == FlightShape::star || flight.shape == FlightShape::figure;
        if (!faced || reading_.map.has(ref, "facing_deg")) return;
        const Vec2 to_camera = Vec2(shoot_.camera.position_m) - flight.centre_m;
        if (to_camera != Vec2(0.0)) flight.facing_deg = degrees(bearing_of(Vec3(to_camera, 0.0)));
    }

    void figure(TableRef ref, Flight& flight) {
        if (!flight.figure || !reading_.map.is_sound(ref, "figure")) return;
        const std::string& name = *flight.figure;
        const std::string* text = text_of(ref, "figure", name, ".svg");
        if (!text) return;
        const std::variant<SvgDrawing, std::string> read = read_svg(*text);
        if (const std::string* fault = std::get_if<std::string>(&read))
            return add(ref, "figure",
                       fmt::format("{}: {}{}", file_words(ref, "figure", name), *fault,
                                   fault->find("allowed") == fault->npos
                                       ? "; allowed is an SVG file with paths"
                                       : ""));
        const FigurePlane plane{.centre_m = Vec3(flight.centre_m, flight.height_m),
                                .facing_deg = flight.facing_deg.value_or(180.0),
                                .tilt_deg = flight.tilt_deg,
                                .width_m = flight.width_m,
                                .mirrored = flight.mirrored,
                                .seen_from_m = shoot_.camera.position_m};
        flight.path = lay_figure(std::get<SvgDrawing>(read), plane, flight.shortest_way);
    }

    /// A flight's own limits count before its drone's.
    void add_limits(Flight& flight) const {
        const auto fill = [&](const SpeedLimits& more) {
            for (const auto limit :
                 {&SpeedLimits::speed_m_s, &SpeedLimits::acceleration_m_s2,
                  &SpeedLimits::turning_m_s2, &SpeedLimits::climb_m_s, &SpeedLimits::descent_m_s,
                  &SpeedLimits::yaw_deg_s, &SpeedLimits::air_m_s})
                if (!(flight.limits.*limit)) flight.limits.*limit = more.*limit;
        };
        if (const Drone* drone = drone_of(shoot_, flight)) fill(drone->limits);
        if (is_drawn(flight.shape) || flight.run_up) fill({std::nullopt, drawn_acceleration_m_s2});
        flight.wind_m_s = wind_m_s(shoot_.air);
    }

    Reading& reading_;
    Shoot& shoot_;
    const std::filesystem::path& beside_;
    const PathFiles* given_;
    std::size_t bytes_ = 0;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> load_flights(Reading& reading, const std::filesystem::path& beside,
                                  const PathFiles* given) {
    return FlightFiles(reading, beside, given).read();
}

}  // namespace lampflight
