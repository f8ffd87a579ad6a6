#include "scene/shoot/layer_id.h"

#include <doctest/doctest.h>

using namespace lampflight;

TEST_CASE("a layer's identity and its words are told from each other both ways") {
    for (const LightSource source : {LightSource::sky, LightSource::sun, LightSource::moon})
        for (const LightWay way : {LightWay::surface, LightWay::view}) {
            const LayerId id{source, way};
            CHECK(layer_id_of(id.text()) == id);
        }
    CHECK(LayerId{LightSource::moon, LightWay::view}.text() == "moon.view");
    CHECK(LayerId{LightSource::stars, LightWay::view}.text() == "stars");
    CHECK(layer_id_of("stars") == LayerId{LightSource::stars, LightWay::view});
    for (const char* lamp : {"warm", "stars", "left.upper", "trail"})
        for (const LightWay way : {LightWay::surface, LightWay::trail}) {
            CAPTURE(lamp);
            CHECK(layer_id_of(lamp_layer(lamp, way).text()) == lamp_layer(lamp, way));
        }
    for (const char* word : {"", "warm", ".trail", "warm.", "warm.glow", "sky"}) {
        CAPTURE(word);
        CHECK_FALSE(layer_id_of(word).has_value());
    }
}
