#include "scene/reader/read_value.h"

#include <cmath>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "scene/basics/nearest_word.h"
#include "scene/basics/shortest_time.h"
#include "scene/basics/wording.h"
#include "scene/reader/value_slip.h"

namespace lampflight {
namespace {

std::optional<double> number_of(const SceneValue& value) {
    if (const auto* whole = std::get_if<std::int64_t>(&value.value))
        return static_cast<double>(*whole);
    if (const auto* number = std::get_if<double>(&value.value)) return *number;
    return std::nullopt;
}

std::size_t count_characters(const std::string& text) {
    std::size_t count = 0;
    for (char byte : text) count += (static_cast<unsigned char>(byte) & 0xC0u) != 0x80u ? 1 : 0;
    return count;
}

bool breaks(TextRule rule, const std::string& text) {
    if (count_characters(text) > longest_text || printable(text, longest_text) != text) return true;
    if (rule == TextRule::any) return false;
    return text.empty() || (rule == TextRule::name && text.find_first_of(".=") != text.npos);
}

std::string text_rule(TextRule rule) {
    const std::string_view lead = rule == TextRule::name   ? "a name of 1"
                                  : rule == TextRule::path ? "a file's name of 1"
                                                           : "a text of 0";
    return fmt::format("{} to {} characters, without {}control characters", lead, longest_text,
                       rule == TextRule::name ? "dots, = and " : "");
}

std::string choice_hint(const std::string& text, const std::vector<std::string>& words) {
    const std::string line = "; allowed is " + alternatives(words);
    return nearest_word(text, words) ? line + hint(text, words) : line;
}

template <class Choice>
std::optional<Choice> chosen(const std::string& text) {
    for (std::size_t i = 0; i < words_of<Choice>.size(); ++i)
        if (!text.empty() && words_of<Choice>[i] == text) return static_cast<Choice>(i);
    return std::nullopt;
}

/// Stores one value; one overload for each kind of field.
class Store {
public:
    Store(const SceneValue& value, const Key& key, const std::string& label,
          std::vector<Problem>& problems)
        : value_(value), key_(key), label_(label), problems_(problems) {}

    bool operator()(double* field) const {
        const std::optional<double> number = number_of(value_);
        if (!number) return wrong_kind();
        if (!within(key_.range, *number))
            return refuse(value_, "is {}; allowed is {}", found_text(value_), range_text(key_));
        *field = *number;
        return true;
    }

    bool operator()(int* field) const {
        const std::optional<double> number = number_of(value_);
        if (!number || std::trunc(*number) != *number) return wrong_kind();
        double whole = 0.0;
        if (!(*this)(&whole)) return false;
        *field = static_cast<int>(whole);
        return true;
    }

    bool operator()(bool* field) const {
        const bool* truth = std::get_if<bool>(&value_.value);
        if (!truth) return wrong_kind();
        *field = *truth;
        return true;
    }

    bool operator()(std::string* field) const {
        const std::string* text = std::get_if<std::string>(&value_.value);
        if (!text) return wrong_kind();
        *field = *text;
        if (!breaks(key_.text, *text)) return true;
        return refuse(value_, "is {}; allowed is {}", in_quotes(*text), text_rule(key_.text));
    }

    bool operator()(Vec2* field) const { return numbers<2>(*field, false); }
    bool operator()(Vec3* field) const { return numbers<3>(*field, false); }
    bool operator()(glm::ivec2* field) const { return numbers<2>(*field, true); }

    template <class Value>
    bool operator()(std::optional<Value>* field) const {
        Value value{};
        if (!(*this)(&value)) return false;
        *field = value;
        return true;
    }

    template <class Choice>
    requires std::is_enum_v<Choice>
    bool operator()(Choice* field) const {
        const std::string* text = std::get_if<std::string>(&value_.value);
        if (!text) return wrong_kind();
        const std::optional<Choice> choice = chosen<Choice>(*text);
        if (!choice)
            return refuse(value_, "is {}{}", in_quotes(*text),
                          choice_hint(*text, written_words<Choice>()));
        *field = *choice;
        return true;
    }

    bool operator()(Aim* field) const {
        if (const std::string* text = std::get_if<std::string>(&value_.value)) {
            const auto word = chosen<AimWord>(*text);
            *field = word ? Aim(*word) : AimAtSubject{*text};
            return true;
        }
        Vec3 direction(0.0);
        if (!numbers<3>(direction, false)) return false;
        if (direction == Vec3(0.0))
            return refuse(value_, "is no direction; allowed is any but zero");
        *field = direction;
        return true;
    }

    bool operator()(Moment* field) const {
        const DateOrTime* written = std::get_if<DateOrTime>(&value_.value);
        if (!written) return wrong_kind();
        if (const auto slip = value_slip(written->written, key_); slip && !written->moment)
            return refuse(value_, "{}; write {}", slip->what, slip->write);
        if (!written->moment)
            return refuse(value_, "is a date or time without its offset; allowed is {}",
                          allowed_text(key_));
        const int year = year_of(*written->moment);
        if (year < first_year || year > last_year)
            return refuse(value_, "is {}; allowed is {}", found_text(value_), range_text(key_));
        *field = *written->moment;
        return true;
    }

    bool operator()(std::vector<std::string>* field) const {
        const SceneList* list = std::get_if<SceneList>(&value_.value);
        if (!list) return wrong_kind();
        if (list->empty() && !key_.may_be_empty)
            return refuse(value_, "is an empty list; allowed is one name or more");
        if (list->size() > longest_list)
            return refuse(value_, "is a list of {} names; allowed is up to {}", list->size(),
                          longest_list);
        bool sound = true;
        for (const SceneValue& item : *list) {
            const std::string* text = std::get_if<std::string>(&item.value);
            // What is no name leaves an empty one, so that places and names stay in step.
            field->push_back(text ? *text : "");
            if (field->back().empty())
                sound =
                    refuse(item, "holds {}; allowed is {}", found_text(item), allowed_text(key_));
        }
        return sound;
    }

    bool operator()(std::map<std::string, double>* field) const {
        const SceneTable* table = std::get_if<SceneTable>(&value_.value);
        if (!table) return wrong_kind();
        bool sound = true;
        for (const SceneEntry& entry : *table) {
            const std::string label = in_quotes(entry.key) + " of " + label_;
            const Store inner(entry.value, key_, label, problems_);
            double& number = (*field)[entry.key];
            sound = inner.one_number(number) && sound;
        }
        return sound;
    }

    bool operator()(TimeWindows* field) const {
        const SceneList* list = std::get_if<SceneList>(&value_.value);
        if (!list || list->empty()) return wrong_kind();
        if (list->size() > longest_list)
            return refuse(value_, "is a list of {} windows; allowed is up to {}", list->size(),
                          longest_list);
        if (!std::holds_alternative<SceneList>(list->front().value))
            return one_window(value_, *field);
        bool sound = true;
        for (const SceneValue& item : *list) sound = one_window(item, *field) && sound;
        return sound;
    }

private:
    bool one_window(const SceneValue& pair, TimeWindows& windows) const {
        Vec2 ends_s(0.0);
        if (!Store(pair, key_, label_, problems_).numbers<2>(ends_s, false)) return false;
        if (ends_s.x >= ends_s.y)
            return refuse(pair, "goes from {} to {} s; allowed is an end after its beginning",
                          ends_s.x, ends_s.y);
        if (ends_s.y - ends_s.x < shortest_stated_s)
            return refuse(pair, "lasts {:.4g} s; allowed is {} s or more", ends_s.y - ends_s.x,
                          shortest_stated_s);
        if (!windows.empty() && ends_s.x < windows.back().to_s)
            return refuse(pair,
                          "begins anew at {} s, before it ended at {} s; allowed are pairs one "
                          "after the other",
                          ends_s.x, windows.back().to_s);
        windows.push_back({ends_s.x, ends_s.y});
        return true;
    }

    template <class... Values>
    bool refuse(const SceneValue& where, fmt::format_string<Values...> what,
                Values&&... values) const {
        problems_.push_back(problem_at(
            where.place, label_ + " " + fmt::format(what, std::forward<Values>(values)...)));
        return false;
    }

    bool wrong_kind() const {
        if (const auto* text = std::get_if<std::string>(&value_.value))
            if (const auto slip = value_slip(*text, key_))
                return refuse(value_, "{}; write {}", slip->what, slip->write);
        return refuse(value_, "is {}; allowed is {}", found_text(value_), allowed_text(key_));
    }

    /// Numbers whose decimal commas made two whole ones of each; none if that can't be.
    static std::vector<std::string> decimals_of(const SceneList& list) {
        std::vector<std::string> numbers;
        for (std::size_t i = 0; i + 1 < list.size(); i += 2) {
            const auto* whole = std::get_if<std::int64_t>(&list[i].value);
            const auto* decimals = std::get_if<std::int64_t>(&list[i + 1].value);
            if (!whole || !decimals || *decimals < 0) return {};
            numbers.push_back(fmt::format("{}.{}", *whole, *decimals));
        }
        return numbers;
    }

    /// One of a list of numbers.
    bool refuse_item(const SceneValue& item) const {
        const auto* text = std::get_if<std::string>(&item.value);
        const auto slip = text ? number_slip(*text, key_.unit) : std::nullopt;
        if (!slip)
            return refuse(item, "holds {}; allowed is {}", found_text(item), allowed_text(key_));
        return refuse(item, "holds a number that {}; write {}", slip->what, slip->write);
    }

    bool one_number(double& field) const {
        const std::optional<double> number = number_of(value_);
        if (!number || !within(key_.range, *number))
            return refuse(value_, "is {}; allowed is a number, {}", found_text(value_),
                          range_text(key_));
        field = *number;
        return true;
    }

    template <int count, class Vector>
    bool numbers(Vector& field, bool whole) const {
        const SceneList* list = std::get_if<SceneList>(&value_.value);
        if (list && list->size() == 2 * count) {
            const std::vector<std::string> halves = decimals_of(*list);
            if (!halves.empty())
                return refuse(value_, "is {}; allowed is {}; for decimals write [{}]",
                              found_text(value_), allowed_text(key_), fmt::join(halves, ", "));
        }
        if (!list || list->size() != count) return wrong_kind();
        Vector read{};
        bool sound = true;
        for (int i = 0; i < count; ++i) {
            const SceneValue& item = (*list)[static_cast<std::size_t>(i)];
            const std::optional<double> number = number_of(item);
            if (number && within(key_.range, *number) &&
                (!whole || std::trunc(*number) == *number)) {
                read[i] = static_cast<typename Vector::value_type>(*number);
            } else {
                sound = refuse_item(item);
            }
        }
        if (sound) field = read;
        return sound;
    }

    const SceneValue& value_;
    const Key& key_;
    const std::string& label_;
    std::vector<Problem>& problems_;
};

struct Found {
    std::string operator()(const DateOrTime& written) const {
        return written.moment ? date_time_text(*written.moment) : "a date or time";
    }
    std::string operator()(bool truth) const { return truth ? "true" : "false"; }
    std::string operator()(std::int64_t number) const { return std::to_string(number); }
    std::string operator()(double number) const { return number_text(number); }
    std::string operator()(const std::string& text) const { return "the text " + in_quotes(text); }
    std::string operator()(const SceneList& list) const {
        if (list.empty()) return "an empty list";
        return fmt::format("a list of {} value{}", list.size(), list.size() == 1 ? "" : "s");
    }
    std::string operator()(const SceneTable&) const { return "a table"; }
};

}  // namespace

bool read_value(const SceneValue& value, const Key& key, const std::string& label,
                const Field& field, std::vector<Problem>& problems) {
    return std::visit(Store(value, key, label, problems), field);
}

std::string found_text(const SceneValue& value) {
    return std::visit(Found{}, value.value);
}

}  // namespace lampflight
