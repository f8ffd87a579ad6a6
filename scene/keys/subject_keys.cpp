#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> subject_keys() {
    return {
        required(named(
            {"name", field<&Shoot::subjects, &Subject::name>, "What takes and aims call it."})),
        {"model", field<&Shoot::subjects, &Subject::model>, "A built-in model; or give mesh."},
        path({"mesh", field<&Shoot::subjects, &Subject::mesh>,
              "An OBJ file beside the scene file, in metres; or give model."}),
        {"crease_deg", field<&Shoot::subjects, &Subject::crease_deg>,
         "Mesh edges that turn by more stay sharp, where its file has no normals and no smoothing "
         "groups.",
         "deg", Range{0.0, 180.0}},
        {"position_m", field<&Shoot::subjects, &Subject::position_m>,
         "Where it stands: east, north, and metres above the ground there.", "m", position},
        {"facing_deg", field<&Shoot::subjects, &Subject::facing_deg>,
         "Bearing that its front looks towards.", "deg", bearing},
        {"scale", field<&Shoot::subjects, &Subject::scale>, "Size as a multiple of the model's.",
         "", Range{0.001, 1000.0}},
        {"reflectance", field<&Shoot::subjects, &Subject::reflectance>,
         "Mean share of light sent back; the materials' own without it.", "", share},
        {"takes_part", field<&Shoot::subjects, &Subject::takes_part>,
         "Of a person: takes part in the shoot; rules keep drones farther from all others."},
        {"present_s", field<&Shoot::subjects, &Subject::present_s>,
         "From when to when it stands there, from the shutter's opening; always without it.", "s",
         within_exposure},
    };
}

}  // namespace lampflight
