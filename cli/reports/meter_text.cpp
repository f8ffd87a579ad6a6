#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "cli/reports/meter_report.h"
#include "cli/reports/quantity_text.h"
#include "cli/reports/table.h"
#include "renderer/meter/exposure_steps.h"

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
    std::string hidden;
    for (const PointReading& point : reading.points) {
        append_point(table, point);
        if (point.hidden)
            hidden += paragraph(
                fmt::format("{} is hidden: its figures are of what stands before it.", point.name),
                width);
    }
    return paragraph("Stops from mid-grey; noise (signal to noise) of a sensor pixel", width) +
           to_text(table, width) + hidden;
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

std::string width_text(const TrailReading& trail, double sensor_pixels_across) {
    if (!trail.width_seen_px) return "lost in white";
    if (*trail.width_seen_px == 0.0) return "under half of white";
    const std::string text = decimal_text(*trail.width_seen_px, 1) + " px";
    if (sensor_pixels_across < 1.01) return text;
    return fmt::format("{} ({} px of the sensor)", text,
                       decimal_text(*trail.width_seen_px * sensor_pixels_across, 0));
}

std::string trails_text(const Shoot& shoot, const MeterReading& reading, std::size_t width) {
    if (reading.trail.empty()) return "";
    Table table{{{"Trail of", Align::left, widest_point},
                 {"Take", Align::left, widest_take},
                 {"Over saturation", Align::right},
                 {"Brightest at"},
                 {"Width seen there"}},
                {}};
    for (const auto& [lamp, trail] : reading.trail)
        table.rows.push_back({lamp, trail.take, stops_text(trail.stops_over_saturation) + " stops",
                              fmt::format("{:.0f} % across, {:.0f} % down",
                                          100.0 * trail.peak_px.x / shoot.camera.pixels.x,
                                          100.0 * trail.peak_px.y / shoot.camera.pixels.y),
                              width_text(trail, shoot.camera.sensor_pixels_across)});
    return to_text(table, width);
}

}  // namespace

std::string meter_text(const Shoot& shoot, const MeterReading& reading, std::size_t width) {
    const std::string trails = trails_text(shoot, reading, width);
    return fmt::format("{}\n{}\n{}{}{}", points_text(reading, width), frame_text(reading, width),
                       histogram_text(reading, width), trails.empty() ? "" : "\n", trails);
}

}  // namespace lampflight
