#include "scene/cautions/alike.h"

#include <algorithm>

#include <fmt/format.h>

#include "scene/basics/names.h"
#include "scene/basics/wording.h"

namespace lampflight {
namespace {

using Group = std::vector<const Finding*>;

bool is_alike(const Finding& one, const Finding& other) {
    return !one.alike.kind.empty() && one.alike.kind == other.alike.kind &&
           one.level == other.level && one.about == other.about;
}

/// Names of the others, each once, in their order; `name` of a finding is what counts.
std::vector<std::string> others(const Group& group, const Finding& worst,
                                std::string Alike::*name) {
    std::vector<std::string> names;
    for (const Finding* finding : group)
        if (const std::string& other = finding->alike.*name;
            other != worst.alike.*name && !contains(names, other))
            names.push_back(other);
    return names;
}

/// " (and 11 more flights alike: "b", "c", "d" and others)".
std::string count_words(std::vector<std::string> names, const std::string& noun) {
    constexpr std::size_t most_named = 3;
    const std::size_t count = names.size();
    std::string named;
    if (count <= most_named) {
        named = alternatives(names, "and");
    } else {
        for (std::size_t i = 0; i < most_named; ++i)
            named += (i > 0 ? ", " : "") + in_quotes(names[i]);
        named += " and others";
    }
    return fmt::format(" (and {} more {}{} alike: {})", count, noun, count > 1 ? "s" : "", named);
}

Caution told(const Group& group) {
    const Finding& worst =
        **std::ranges::max_element(group, {}, [](const Finding* one) { return one->alike.worse; });
    Caution caution{worst.about, worst.level, worst.text};
    if (const auto names = others(group, worst, &Alike::name); !names.empty())
        caution.text += count_words(names, worst.alike.noun);
    else if (const auto takes = others(group, worst, &Alike::take); !takes.empty())
        caution.text += count_words(takes, "take");
    return caution;
}

}  // namespace

std::vector<Caution> told_once(const Findings& findings) {
    std::vector<Group> groups;
    for (const Finding& finding : findings) {
        const auto same = std::ranges::find_if(
            groups, [&](const Group& group) { return is_alike(finding, *group.front()); });
        if (same == groups.end())
            groups.push_back({&finding});
        else
            same->push_back(&finding);
    }
    std::vector<Caution> list;
    for (const Group& group : groups) list.push_back(told(group));
    return list;
}

}  // namespace lampflight
