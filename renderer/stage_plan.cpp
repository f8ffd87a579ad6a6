#include "renderer/stage_plan.h"

#include <algorithm>

namespace lampflight {

std::vector<StagePlan> stage_plans(const Shoot& shoot, const std::vector<const Take*>& takes) {
    std::vector<StagePlan> plans;
    for (std::size_t take = 0; take < takes.size(); ++take) {
        const double after_s = shoot.place ? takes[take]->after_s : 0.0;
        for (const Cast& cast : casts(shoot, *takes[take])) {
            auto same = std::ranges::find_if(plans, [&](const StagePlan& plan) {
                return plan.subjects == cast.subjects && plan.after_s == after_s;
            });
            if (same == plans.end()) same = plans.insert(plans.end(), {cast.subjects, after_s, {}});
            same->uses.push_back({take, cast.times});
        }
    }
    return plans;
}

}  // namespace lampflight
