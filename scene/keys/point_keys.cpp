#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> point_keys() {
    return {
        required(named({"name", field<&Shoot::points, &Point::name>, "What readings call it."})),
        required({"position_m", field<&Shoot::points, &Point::position_m>,
                  "A place to meter: east, north, up.", "m", position}),
    };
}

}  // namespace lampflight
