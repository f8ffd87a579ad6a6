#include "scene/reader/check_shoot.h"

namespace lampflight {

void check_subjects(const Checks& checks) {
    for (std::size_t i = 0; i < checks.shoot.subjects.size(); ++i) {
        const TableRef ref{"subject", i};
        const bool model = checks.map.has(ref, "model"), mesh = checks.map.has(ref, "mesh");
        if (model && mesh)
            checks.refuse_key(ref, "mesh", "stands beside \"model\"; allowed is one of them");
        if (model && !mesh && checks.map.has(ref, "crease_deg"))
            checks.refuse_key(ref, "crease_deg",
                              "stands beside \"model\"; allowed is beside \"mesh\"");
        if (!model && !mesh)
            checks.add(checks.map.table(ref),
                       "{} has no \"model\" and no \"mesh\"; allowed is one of them",
                       checks.map.label(ref));
    }
}

}  // namespace lampflight
