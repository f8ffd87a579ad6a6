#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "scene/flights/files/write_path_file.h"
#include "tests/unit/scene/flights/files/path_texts.h"
#include "tests/within.h"

using namespace lampflight;
using namespace lampflight::testing;

namespace {

constexpr std::array all_formats{PathFormat::csv, PathFormat::geojson, PathFormat::gpx,
                                 PathFormat::kml};

/// A climbing turn with dark parts, holds and aims, by no one's arithmetic but the test's.
PathRecord turn_record(const std::string& name) {
    PathRecord record{name, {}, 1.75};
    for (int i = 0; i < 60; ++i) {
        const double angle = 0.21 * i;
        PathSample sample;
        sample.time_s = 0.75 * i - 3.0;
        sample.at_m = {3000.0 + 7.5 * std::sin(angle), -41.25 * std::cos(angle), 0.31 * i - 2.0};
        sample.speed_m_s = i == 59 ? 0.0 : 1.0 + 0.0312 * i;
        sample.hold_s = i % 17 == 5 ? 0.25 : 0.0;
        sample.lit = i % 11 < 8;
        if (i % 5 == 0) sample.aim = AimWord::centre;
        if (i % 5 == 1) sample.aim = AimAtSubject{"the \"old\", arch"};
        if (i % 5 == 2) sample.aim = Vec3(0.1, -0.25, -1.0);
        record.samples.push_back(sample);
    }
    return record;
}

std::string written(const std::vector<PathRecord>& records, PathFormat format,
                    const PathOrigin& origin) {
    const auto text = path_text(records, format, origin.place, "A <b> & \"c\"");
    REQUIRE(text.has_value());
    return *text;
}

void check_read_back(const FilePath& path, const PathRecord& record, PathFormat format) {
    CHECK(path.name == record.name);
    REQUIRE(path.points.size() == record.samples.size());
    for (std::size_t i = 0; i < path.points.size(); ++i) {
        const Waypoint& point = path.points[i];
        const PathSample& sample = record.samples[i];
        CAPTURE(i);
        CHECK_WITHIN(point.at_m, sample.at_m, 1e-3);
        const bool last = i + 1 == path.points.size();
        if (!last) CHECK(point.lit == sample.lit);
        if (format == PathFormat::gpx) continue;
        CHECK_WITHIN(point.speed_m_s.value_or(0.0), sample.speed_m_s, 1e-4);
        CHECK_WITHIN(point.hold_s, sample.hold_s, 1e-6);
        CHECK(point.aim == sample.aim);
    }
}

}  // namespace

TEST_CASE("written paths read back at every latitude, in every format") {
    const std::vector<PathRecord> records{turn_record("first"), turn_record(" a,\"b\" & <c>; d ")};
    for (const PathFormat format : all_formats)
        for (const double latitude_deg : {-89.5, -33.9, 0.0, 50.1, 78.2})
            for (const double longitude_deg : {-179.98, 8.2, 179.98, 180.0}) {
                PathOrigin origin{GeoFrame(latitude_deg, longitude_deg, 480.0), 1.75};
                const auto paths = sound_paths(written(records, format, origin), format, origin);
                CAPTURE(static_cast<int>(format));
                CAPTURE(latitude_deg);
                REQUIRE(paths.size() == 2);
                check_read_back(paths[0], records[0], format);
                if (format == PathFormat::csv || format == PathFormat::geojson)
                    check_read_back(paths[1], records[1], format);
            }
}

TEST_CASE("written: latitudes need a place, and metres don't") {
    const std::vector<PathRecord> records{turn_record("a")};
    for (const PathFormat format : all_formats)
        CHECK(path_text(records, format, std::nullopt, "t").has_value() ==
              (format == PathFormat::csv));
    const std::string text = written(records, PathFormat::csv, {});
    CHECK(
        text.starts_with("path,east_m,north_m,up_m,time_s,speed_m_s,hold_s,lit,aim,aim_east,"
                         "aim_north,aim_up\r\na,3000.0000,-41.2500,-2.0000,-3.000000,1.0000,"
                         "0.000000,yes,centre,,,\r\n"));
    CHECK(sound_path(text, PathFormat::csv, {}).points.size() == 60);
}

TEST_CASE("written: heights count from the sea, or from take-off") {
    PathRecord record{"a", {}, 0.5};
    for (const double up_m : {10.0, 12.5}) {
        PathSample sample;
        sample.at_m = {0.0, up_m, up_m};
        sample.time_s = up_m;
        record.samples.push_back(sample);
    }
    const PathOrigin origin = hillside();
    // 10 m of a meridian at 50.1 deg are 8.990e-5 deg: M = 6373.1 km, Snyder 1987, eq. 4-19.
    CHECK(written({record}, PathFormat::geojson, origin).find("[8.2,50.1000899") !=
          std::string::npos);
    CHECK(written({record}, PathFormat::geojson, origin).find(",492.5]") != std::string::npos);
    CHECK(written({record}, PathFormat::gpx, origin).find("<ele>492.5000</ele>") !=
          std::string::npos);
    CHECK(written({record}, PathFormat::kml, origin).find(",12.0000</coordinates>") !=
          std::string::npos);
    for (const PathFormat format : {PathFormat::geojson, PathFormat::gpx, PathFormat::kml})
        CHECK(written({record}, format, origin)
                  .find("For looking and planning; not a mission for an autopilot.") !=
              std::string::npos);
}
