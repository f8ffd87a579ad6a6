#include "cli/sheets/dusk_labels.h"

#include <algorithm>

namespace lampflight {
namespace {

constexpr double label_step = 22.0;

/// Spreads labels (in order) so that none lies on another.
void spread(std::vector<DuskLabel>& labels, double top, double bottom) {
    if (labels.empty()) return;
    const double room = (bottom - top) / static_cast<double>(labels.size());
    const double step = std::min(label_step, room);
    double next = top;
    for (DuskLabel& label : labels) {
        label.y = std::max(label.moment_y, next);
        next = label.y + step;
    }
    double limit = bottom;
    for (auto label = labels.rbegin(); label != labels.rend(); ++label) {
        label->y = std::min(label->y, limit);
        limit = label->y - step;
    }
}

/// With those that the plot alone tells.
std::vector<DuskEvent> labelled_events(const Dusk& dusk) {
    std::vector<DuskEvent> events = events_of(dusk);
    const auto add = [&](double unix_s, DuskEvent::Kind kind, const char* words) {
        events.push_back({unix_s, kind, words, {}});
    };
    for (const DuskWindow& window : dusk.windows) {
        add(window.from_s, DuskEvent::Kind::window, "sky as wanted");
        if (!window.to_s) continue;
        const bool darkens = sky_stops_after(dusk, *window.to_s) < dusk.want_stops;
        add(*window.to_s, DuskEvent::Kind::window, darkens ? "sky too dark" : "sky too bright");
    }
    for (const double unix_s : dusk.alike_s)
        add(unix_s, DuskEvent::Kind::alike, "sky = lit ground");
    std::stable_sort(events.begin(), events.end(),
                     [](const auto& a, const auto& b) { return a.unix_s < b.unix_s; });
    return events;
}

}  // namespace

double sky_stops_after(const Dusk& dusk, double unix_s) {
    const auto minute =
        std::find_if(dusk.minutes.begin(), dusk.minutes.end(),
                     [&](const DuskMinute& after) { return after.unix_s >= unix_s; });
    return minute == dusk.minutes.end() ? dusk.minutes.back().sky_stops : minute->sky_stops;
}

std::vector<DuskLabel> dusk_labels(const Dusk& dusk, const std::function<double(double)>& y_of) {
    std::vector<DuskLabel> labels;
    for (const DuskEvent& event : labelled_events(dusk))
        labels.push_back({event, y_of(event.unix_s), 0.0});
    spread(labels, y_of(dusk.span.from_s) + 8.0, y_of(dusk.span.to_s) - 2.0);
    return labels;
}

}  // namespace lampflight
