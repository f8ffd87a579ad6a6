#include "scene/subjects/people.h"

#include <algorithm>
#include <array>
#include <cctype>

namespace lampflight {

bool is_person(const Subject& subject) {
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

}  // namespace lampflight
