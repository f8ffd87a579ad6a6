#include "scene/subjects/models/models.h"

namespace lampflight {

Mesh model_mesh(Model model) {
    switch (model) {
        case Model::person:
            return person_mesh();
        case Model::arch:
            return arch_mesh();
        case Model::boulder:
            return boulder_mesh();
        case Model::standing_stone:
            return standing_stone_mesh();
    }
    return {};
}

}  // namespace lampflight
