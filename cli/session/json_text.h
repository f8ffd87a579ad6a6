// How reports are written as JSON.
#pragma once

#include <string>

#include <nlohmann/json.hpp>

namespace lampflight {

/// Indented, with a newline at the end. Numbers that are not finite become null, as does text
/// that is not UTF-8 replaced character by character.
inline std::string json_text(const nlohmann::ordered_json& json) {
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + "\n";
}

}  // namespace lampflight
