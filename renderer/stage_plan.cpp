#include "renderer/stage_plan.h"

#include <algorithm>

namespace lampflight {

std::vector<StagePlan> stage_plans(const Shoot& shoot, const std::vector<const Take*>& takes) {
    std::vector<StagePlan> plans;
    for (std::size_t take = 0; take < takes.size(); ++take)
        for (const Cast& cast : casts(shoot, *takes[take])) {
            auto same = std::ranges::find(plans, cast.subjects, &StagePlan::subjects);
            if (same == plans.end()) same = plans.insert(plans.end(), {cast.subjects, {}});
            same->uses.push_back({take, cast.times});
        }
    return plans;
}

}  // namespace lampflight
