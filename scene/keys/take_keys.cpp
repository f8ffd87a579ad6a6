#include "scene/keys/key_rows.h"

namespace lampflight {

std::vector<Key> take_keys() {
    return {
        required(
            named({"name", field<&Shoot::takes, &Take::name>, "What the photograph calls it."})),
        naming("flight", {"flights", field<&Shoot::takes, &Take::flights>,
                          "Flights flown while the shutter is open."}),
        naming_any("lamp", {"lamps", field<&Shoot::takes, &Take::lamps>,
                            "Standing lamps that are lit; all of them without it."}),
        naming_any("subject", {"subjects", field<&Shoot::takes, &Take::subjects>,
                               "Subjects that are present; all of them without it."}),
        naming("lamp", {"lamp_stops", field<&Shoot::takes, &Take::lamp_stops>,
                        "How many stops stronger (+) or weaker (-) lamps burn, by name.", "stops",
                        Range{-20.0, 20.0}}),
        {"shutter_s", field<&Shoot::takes, &Take::shutter_s>, "Instead of the camera's.", "s",
         shutter},
        {"f_number", field<&Shoot::takes, &Take::f_number>, "Instead of the camera's.", "",
         f_number},
        {"iso", field<&Shoot::takes, &Take::iso>, "Instead of the camera's.", "", iso},
        {"after_s", field<&Shoot::takes, &Take::after_s>,
         "With a [place]: how long after its moment the shutter opens.", "s", Range{0.0, 86400.0}},
    };
}

std::vector<Key> photograph_keys() {
    return {
        {"blend", field<&Shoot::photograph, &Photograph::blend>,
         "How takes become one picture: the brightest, the sum, or the mean at each pixel."},
        naming("take", {"takes", field<&Shoot::photograph, &Photograph::takes>,
                        "Takes that make up the picture; every take without it."}),
        {"noise_seed", field<&Shoot::photograph, &Photograph::noise_seed>,
         "Another number makes other noise of the same strength.", "", Range{0.0, 1e6}},
    };
}

}  // namespace lampflight
