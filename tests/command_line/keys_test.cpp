#include <doctest/doctest.h>

#include <regex>
#include <set>

#include <nlohmann/json.hpp>

#include "tests/command_line/program.h"

using namespace lampflight::testing;
using nlohmann::json;

TEST_CASE("keys: every key of the JSON stands in the table with its meaning") {
    const Finished as_json = run({"keys", "--json"});
    REQUIRE(as_json.code == 0);
    const json keys = json::parse(as_json.out);
    const std::string table = run({"keys"}).out;
    CHECK(keys.size() > 50);
    for (const json& key : keys) {
        const std::string name = key.at("name");
        CAPTURE(name);
        CHECK(contains(table, name + " "));
        CHECK(!key.at("meaning").get<std::string>().empty());
        CHECK(!key.at("kind").get<std::string>().empty());
        CHECK(!key.at("default").get<std::string>().empty());
        CHECK(key.contains("unit"));
        CHECK(key.contains("allowed"));
        const std::string first_word = key["meaning"].get<std::string>().substr(
            0, key["meaning"].get<std::string>().find(' '));
        CHECK(contains(table, first_word));
    }
}

TEST_CASE("keys: all that the start scenes use is listed") {
    std::set<std::string> listed;
    for (const json& key : json::parse(run({"keys", "--json"}).out))
        listed.insert(key.at("table").get<std::string>() + "." + key.at("name").get<std::string>());
    const std::regex heading(R"(^\[+(\w+)\]+.*)");
    const std::regex assignment(R"(^([\w.]+) = .*)");
    for (const char* kind : {"halo", "ring", "helix", "sweep"}) {
        std::string table;
        for (const std::string& line : lines_of(run({"start", kind}).out)) {
            std::smatch match;
            if (std::regex_match(line, match, heading)) table = match[1];
            // The gel is a table within the lamp's; its keys are listed one by one.
            if (std::regex_match(line, match, assignment) && match[1] != "gel") {
                CAPTURE(line);
                CHECK(listed.count(table + "." + match[1].str()) == 1);
            }
        }
    }
}

TEST_CASE("keys: one table alone") {
    const Finished lamp = run({"keys", "lamp"});
    CHECK(lamp.code == 0);
    CHECK(contains(lamp.out, "flux_lm"));
    CHECK(!contains(lamp.out, "shutter_s"));
    for (const json& key : json::parse(run({"keys", "lamp", "--json"}).out))
        CHECK(key.at("table") == "lamp");
}
