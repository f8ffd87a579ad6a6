#include "scene/subjects/people.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <string>

#include "scene/subjects/box.h"

namespace lampflight {

bool is_person(const Subject& subject) {
    if (!subject.takes_part) return true;
    if (subject.model) return *subject.model == Model::person;
    std::string words = " ";
    for (const char letter : subject.name) {
        const auto code = static_cast<unsigned char>(letter);
        words += std::isalpha(code) ? static_cast<char>(std::tolower(code)) : ' ';
    }
    words += ' ';
    constexpr std::array people{" person ", " people ", " walker ", " hiker ", " climber ",
                                " dancer ", " rider ",  " couple ", " man ",   " woman ",
                                " child ",  " boy ",    " girl ",   " model "};
    return std::any_of(people.begin(), people.end(),
                       [&](const char* word) { return words.find(word) != std::string::npos; });
}

Vec3 eyes_of(const Mesh& person) {
    const Box box = box_of(person);
    const Vec3 middle = box.middle_m();
    return {middle.x, middle.y, box.low_m.z + 0.93 * (box.high_m.z - box.low_m.z)};
}

}  // namespace lampflight
