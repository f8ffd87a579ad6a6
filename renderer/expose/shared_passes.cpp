#include "renderer/expose/shared_passes.h"

#include <algorithm>

#include "scene/shoot/presence.h"

namespace lampflight {
namespace {

/// The place of a moment among a pass's, which it joins if it is new.
std::size_t sky_of(SharedPass& pass, double after_s) {
    const auto same = std::ranges::find(pass.skies_after_s, after_s);
    const auto place = static_cast<std::size_t>(same - pass.skies_after_s.begin());
    if (same == pass.skies_after_s.end()) pass.skies_after_s.push_back(after_s);
    return place;
}

}  // namespace

std::vector<SharedPass> shared_passes(const Shoot& shoot, const std::vector<const Take*>& takes) {
    std::vector<SharedPass> passes;
    for (std::size_t take = 0; take < takes.size(); ++take)
        for (const Presence& presence : presences(shoot, *takes[take])) {
            auto same = std::ranges::find(passes, presence.subjects, &SharedPass::subjects);
            if (same == passes.end())
                same = passes.insert(passes.end(), {presence.subjects, {}, {}});
            const std::size_t sky = sky_of(*same, shoot.place ? takes[take]->after_s : 0.0);
            same->uses.push_back({take, presence.times, sky});
        }
    return passes;
}

}  // namespace lampflight
