#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/reports/meter_report.h"
#include "cli/reports/quantity_text.h"
#include "cli/reports/table.h"
#include "renderer/meter/exposure_steps.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

constexpr std::size_t widest_point = 24;
constexpr std::size_t widest_take = 20;

using Shares = std::vector<std::pair<std::string, double>>;

/// What a meter calls a layer, by the name that reports give it.
std::string words_of(const std::string& layer) {
    const auto id = layer_id_of(layer);
    return id ? layer_words(*id) : "veiling flare";
}

/// "warm on surfaces 97 %, sky on surfaces 3 %": the largest first, without what is lost in
/// rounding. A space that no line may break at keeps a share with its name.
std::string shares_text(Shares shares) {
    std::ranges::stable_sort(shares, std::ranges::greater(),
                             [](const auto& share) { return std::abs(share.second); });
    std::string text;
    for (const auto& [layer, share] : shares)
        if (std::abs(share) >= 0.005)
            text += fmt::format("{}{}\u00A0{:.0f}\u00A0%", text.empty() ? "" : ", ",
                                words_of(layer), 100.0 * share);
    return text;
}

std::string layers_text(const TakeReading& take) {
    if (!(take.exposure_lxs > 0.0)) return "";
    Shares shares;
    for (const auto& [layer, exposure_lxs] : take.layers)
        shares.emplace_back(layer, exposure_lxs / take.exposure_lxs);
    return shares_text(std::move(shares));
}

/// What else than the point itself the film shows at its place, if anything.
std::string sight_text(const PointReading& point) {
    if (!point.in_frame) return "";
    const PointSight& sight = point.sight;
    const std::string name = in_quotes(point.name);
    const std::string what = sight.what == "ground" ? "the ground" : in_quotes(sight.what);
    switch (sight.meets) {
        case PointSight::Meets::nearer:
            return fmt::format("{} is hidden: its figures are of {}, {} m before it.", name, what,
                               decimal_text(-sight.behind_m, 1));
        case PointSight::Meets::farther:
            return fmt::format("Nothing stands at {}: its figures are of {}, {} m behind it.", name,
                               what, decimal_text(sight.behind_m, 1));
        case PointSight::Meets::sky:
            return fmt::format("Nothing stands at {}: its figures are of the sky behind it.", name);
        case PointSight::Meets::itself:
            break;
    }
    return "";
}

void append_point(Table& table, const PointReading& point) {
    if (!point.in_frame) {
        table.rows.push_back({point.name, "out of frame"});
        return;
    }
    std::string name = point.name;
    if (point.takes.size() > 1)
        table.rows.push_back(
            {std::exchange(name, ""), "photograph", stops_text(point.picture_stops)});
    for (const TakeReading& take : point.takes) {
        table.rows.push_back({std::exchange(name, ""), take.take, stops_text(take.stops),
                              take.clipped ? "clipped" : noise_text(take.snr), layers_text(take)});
    }
}

std::string points_text(const MeterReading& reading, std::size_t width) {
    if (reading.points.empty())
        return paragraph(
            "No points to meter; add a [[point]] with name and position_m to the scene.", width);
    Table table{{{"Point", Align::left, widest_point},
                 {"Take", Align::left, widest_take},
                 {"Stops", Align::right},
                 {"Noise"},
                 {"Light", Align::left, 100, 24}},
                {},
                2};
    std::string remarks;
    for (const PointReading& point : reading.points) {
        append_point(table, point);
        if (const std::string remark = sight_text(point); !remark.empty())
            remarks += paragraph(remark, width);
    }
    return paragraph("Stops from mid-grey; noise (signal to noise) of a sensor pixel", width) +
           to_text(table, width) + remarks;
}

std::string frame_text(const MeterReading& reading, std::size_t width) {
    Table table{
        {{"Take", Align::left, widest_take}, {"Light of the whole frame", Align::left, 200, 40}},
        {}};
    for (const TakeLight& take : reading.takes) {
        const std::string text = shares_text({take.shares.begin(), take.shares.end()});
        table.rows.push_back({take.take, text.empty() ? "none" : text});
    }
    return to_text(table, width);
}

/// "-3 to -2", with the words for both ends.
std::string step_name(double from_stops, double to_stops) {
    const auto end_name = [](double stops) {
        const int whole = static_cast<int>(std::lround(stops));
        return whole == 0 ? std::string("0") : fmt::format("{:+}", whole);
    };
    return fmt::format("{} to {}", end_name(from_stops),
                       to_stops > 2.5 ? "white" : end_name(to_stops));
}

std::string bar_line(const std::string& name, double share, double longest, std::size_t width) {
    constexpr std::size_t words = 33, widest_bar = 60;
    const auto room = static_cast<double>(std::min(widest_bar, width - words));
    const auto length = static_cast<std::size_t>(std::lround(room * share / longest));
    std::string line =
        fmt::format("  {:>12}  {:>15}  {}", name, percent_text(share), std::string(length, '#'));
    line.erase(line.find_last_not_of(' ') + 1);
    return line + "\n";
}

/// Bars from burnt at the top to black at the foot.
std::string histogram_text(const MeterReading& reading, std::size_t width) {
    const auto edges = step_edges_stops();
    const auto& shares = reading.step_shares;
    const double longest = std::max(*std::ranges::max_element(shares), reading.black_share);
    std::string text = paragraph(
        "The photograph in stops from mid-grey; black is more than 6 stops under it, burnt out is "
        "white",
        width);
    text += bar_line("burnt out", reading.burnt_share, longest, width);
    for (std::size_t i = edges.size() - 1; i > 0 && edges[i - 1] >= black_stops; --i)
        text += bar_line(step_name(edges[i - 1], edges[i]), shares[i], longest, width);
    return text + bar_line("black", reading.black_share, longest, width);
}

/// "1.2 to 3.6", from the thinnest to the thickest place, each times `scale`; "-" where no place
/// of the trail is whole and alone.
std::string widths_text(const LineWidths& widths, double scale, int decimals) {
    if (!widths.thinnest || !widths.thickest) return "-";
    const std::string thinnest = decimal_text(scale * widths.thinnest->px, decimals);
    const std::string thickest = decimal_text(scale * widths.thickest->px, decimals);
    return thinnest == thickest ? thinnest : fmt::format("{} to {}", thinnest, thickest);
}

std::string trails_text(const Shoot& shoot, const MeterReading& reading, std::size_t width) {
    if (reading.trails.empty()) return "";
    const Camera& camera = shoot.camera;
    Table table{{{"Trail of", Align::left, widest_point},
                 {"Take", Align::left, widest_take},
                 {"Line width px", Align::right},
                 {"% of the frame's height", Align::right},
                 {"Sensor px", Align::right},
                 {"Stops over clipping", Align::right}},
                {},
                2};
    for (const LineWidths& trail : reading.trails)
        table.rows.push_back({trail.lamp, trail.take, widths_text(trail, 1.0, 1),
                              widths_text(trail, 100.0 / camera.pixels.y, 2),
                              widths_text(trail, camera.sensor_pixels_across, 0),
                              stops_text(trail.stops_over_saturation)});
    return to_text(table, width);
}

}  // namespace

std::string meter_text(const Shoot& shoot, const MeterReading& reading, std::size_t width) {
    const std::string trails = trails_text(shoot, reading, width);
    return fmt::format("{}\n{}\n{}{}{}", points_text(reading, width), frame_text(reading, width),
                       histogram_text(reading, width), trails.empty() ? "" : "\n", trails);
}

}  // namespace lampflight
