#include "scene/keys/keys.h"

#include <fmt/format.h>

#include "scene/basics/wording.h"
#include "scene/keys/key_table.h"

namespace lampflight {
namespace {

/// The default as it would be written in a scene file.
struct Written {
    std::string operator()(const double* number) const { return number_text(*number); }
    std::string operator()(const int* number) const { return std::to_string(*number); }
    std::string operator()(const bool* truth) const { return *truth ? "true" : "false"; }
    std::string operator()(const std::string* text) const {
        return text->empty() ? "none" : in_quotes(*text);
    }
    std::string operator()(const Vec2* v) const { return fmt::format("[{}, {}]", v->x, v->y); }
    std::string operator()(const Vec3* v) const {
        return fmt::format("[{}, {}, {}]", v->x, v->y, v->z);
    }
    std::string operator()(const glm::ivec2* v) const {
        return fmt::format("[{}, {}]", v->x, v->y);
    }
    std::string operator()(const Moment* moment) const { return date_time_text(*moment); }
    std::string operator()(const Aim* aim) const {
        const auto* word = std::get_if<AimWord>(aim);
        return word ? in_quotes(words_of<AimWord>.at(static_cast<std::size_t>(*word))) : "none";
    }
    template <class Value>
    std::string operator()(const std::optional<Value>* value) const {
        if constexpr (!std::is_enum_v<Value>)
            if (*value) return (*this)(&**value);
        return "none";
    }
    std::string operator()(const std::vector<std::string>*) const { return "none"; }
    std::string operator()(const TimeWindows*) const { return "none"; }
    std::string operator()(const std::map<std::string, double>*) const { return "none"; }
    template <class Choice>
    std::string operator()(const Choice* choice) const {
        const std::string word = word_of(Field(const_cast<Choice*>(choice)));
        return word.empty() ? "none" : in_quotes(word);
    }
};

std::string without_article(const std::string& kind) {
    return kind.substr(0, 2) == "a " ? kind.substr(2) : kind;
}

std::string allowed_in_reference(const Key& key, const Field& field) {
    std::string allowed = alternatives(choices_of(field));
    if (std::holds_alternative<Aim*>(field) || std::holds_alternative<std::optional<Aim>*>(field))
        allowed = allowed_text(key);
    if (allowed.empty()) allowed = range_text(key);
    if (key.tie.choice.empty()) return allowed;
    const std::vector<std::string> words(key.tie.words.begin(), key.tie.words.end());
    const std::string only = fmt::format("with {} = {}", key.tie.choice, alternatives(words));
    return allowed.empty() ? only : allowed + "; " + only;
}

}  // namespace

std::vector<KeyInfo> scene_keys() {
    Shoot shoot;
    for (const TableKind& kind : table_kinds())
        if (kind.is_list()) kind.append(shoot);
    std::vector<KeyInfo> infos;
    for (const Key& key : key_table()) {
        const Field field = key.field(shoot);
        infos.push_back(
            {.table = std::string(key.table),
             .name = std::string(key.name),
             .kind = without_article(kind_text(key)),
             .unit = std::string(key.unit),
             .allowed = allowed_in_reference(key, field),
             .fallback = key.need == Need::required ? "required" : std::visit(Written{}, field),
             .meaning = std::string(key.meaning)});
    }
    return infos;
}

}  // namespace lampflight
