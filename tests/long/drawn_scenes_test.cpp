// Scenes drawn by lot, each checked and rendered by the program in a process of its own, which must
// end by itself with an exit code that it documents, in little time and memory.
// LAMPFLIGHT_DRAWN_SCENES says how many (10000), LAMPFLIGHT_DRAWN_SEED with which seed they begin
// (0): with the two, one scene is tried again. Scenes with a finding are left in the build folder's
// drawn/.
#include <doctest/doctest.h>

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <csignal>
#include <cstdint>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <thread>
#include <variant>
#include <vector>

#include "scene/reader/read_shoot.h"
#include "tests/command_line/linear_picture.h"
#include "tests/drawn_scene.h"

using namespace lampflight;
namespace fs = std::filesystem;

namespace {

/// For a picture of some 48 x 32 pixels at draft, in processor time: a busy machine is no finding.
constexpr double longest_s = 20.0;
constexpr double given_up_s = 300.0;  // by the clock: it waits for something
constexpr double most_memory_mb = 300.0;

struct Ended {
    int code = -1;  ///< 128 + number where a signal ended it
    double took_s = 0.0;
    double memory_mb = 0.0;  ///< the most that it had resident
};

std::uint64_t number_from(const char* variable, std::uint64_t otherwise) {
    const char* const text = std::getenv(variable);
    return text == nullptr ? otherwise : std::strtoull(text, nullptr, 10);
}

/// Runs the program, its outputs going to a file, and kills it when its time is over.
Ended run(const std::vector<std::string>& arguments, const fs::path& output) {
    std::vector<std::string> words{LAMPFLIGHT_PROGRAM};
    words.insert(words.end(), arguments.begin(), arguments.end());
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    const auto start = std::chrono::steady_clock::now();
    const pid_t process = ::fork();
    REQUIRE(process >= 0);
    if (process == 0) {
        const rlimit limit{static_cast<rlim_t>(longest_s) + 1, static_cast<rlim_t>(longest_s) + 1};
        ::setrlimit(RLIMIT_CPU, &limit);
        const int file = ::open(output.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
        ::dup2(file, 1);
        ::dup2(file, 2);
        ::execv(LAMPFLIGHT_PROGRAM, pointers.data());
        ::_exit(127);
    }
    int status = 0;
    rusage usage{};
    Ended ended;
    bool is_killed = false;
    while (::wait4(process, &status, WNOHANG, &usage) == 0) {
        const std::chrono::duration<double> taken = std::chrono::steady_clock::now() - start;
        if (taken.count() > given_up_s && !is_killed) {
            ::kill(process, SIGKILL);
            is_killed = true;
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    for (const timeval& time : {usage.ru_utime, usage.ru_stime})
        ended.took_s += static_cast<double>(time.tv_sec) + 1e-6 * static_cast<double>(time.tv_usec);
    ended.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
    ended.memory_mb = static_cast<double>(usage.ru_maxrss) / 1024.0;
    return ended;
}

/// Strikes what the reader refuses; false where no scene is left.
bool is_mended(std::string& text, const fs::path& file) {
    for (int round = 0; round < 8; ++round) {
        const auto read = read_shoot(text, file);
        const auto* problems = std::get_if<std::vector<Problem>>(&read);
        if (problems == nullptr) return true;
        std::vector<int> refused;
        for (const Problem& problem : *problems) refused.push_back(problem.line);
        const std::string rest = without_lines(text, refused);
        if (rest == text) return false;
        text = rest;
    }
    return false;
}

/// Words that fmt writes for numbers which are none.
bool tells_of_no_number(const fs::path& report) {
    std::ifstream stream(report, std::ios::binary);
    const std::string text{std::istreambuf_iterator<char>(stream), {}};
    for (const char* word : {" nan ", " -nan ", " inf ", " -inf ", " nan\n", " inf\n"})
        if (text.find(word) != std::string::npos) return true;
    return false;
}

bool is_finite_picture(const fs::path& picture) {
    return std::ranges::all_of(testing::read_linear_picture(picture),
                               [](float light) { return std::isfinite(light); });
}

/// Files that drawn scenes name, beside them.
void lay_out_files(const fs::path& folder) {
    for (const char* name : {"heart.svg", "steps.csv", "tower.obj"})
        fs::copy_file(fs::path(LAMPFLIGHT_SOURCE_DIR) / "scenes" / name, folder / name,
                      fs::copy_options::overwrite_existing);
}

void check_ended(const char* command, const Ended& ended) {
    CAPTURE(command);
    const bool is_documented = ended.code == 0 || ended.code == 3;
    CHECK_MESSAGE(is_documented, "exit code ", ended.code);
    CHECK_MESSAGE(ended.took_s <= longest_s, "took ", ended.took_s, " s");
    CHECK_MESSAGE(ended.memory_mb <= most_memory_mb, "had ", ended.memory_mb, " MB");
}

bool is_sound(const Ended& ended) {
    return (ended.code == 0 || ended.code == 3) && ended.took_s <= longest_s &&
           ended.memory_mb <= most_memory_mb;
}

}  // namespace

TEST_CASE("drawn scenes: the program ends by itself, in time, within its memory") {
    const fs::path folder = fs::path(LAMPFLIGHT_BUILD_DIR) / "drawn";
    fs::create_directories(folder);
    lay_out_files(folder);
    const std::uint64_t first = number_from("LAMPFLIGHT_DRAWN_SEED", 0);
    const std::uint64_t count = number_from("LAMPFLIGHT_DRAWN_SCENES", 10000);
    std::uint64_t rendered = 0;
    for (std::uint64_t seed = first; seed < first + count; ++seed) {
        const fs::path scene = folder / (std::to_string(seed) + ".toml");
        const fs::path report = folder / "report.txt";
        std::string text = drawn_scene(seed);
        const bool is_whole = is_mended(text, scene);
        std::ofstream(scene, std::ios::binary) << text;
        CAPTURE(scene.string());
        const Ended checked = run({"check", scene.string()}, report);
        check_ended("check", checked);
        bool is_finite = !tells_of_no_number(report);
        const Ended shown = run({"render", scene.string(), "--quality", "draft", "--quiet", "-o",
                                 (folder / "picture.exr").string()},
                                report);
        check_ended("render", shown);
        CHECK(!(is_whole && shown.code == 3 && checked.code == 0));
        rendered += shown.code == 0 ? 1 : 0;
        if (shown.code == 0) is_finite = is_finite && is_finite_picture(folder / "picture.exr");
        CHECK(is_finite);
        if (is_sound(checked) && is_sound(shown) && is_finite) fs::remove(scene);
    }
    MESSAGE(rendered, " of ", count, " scenes were rendered");
    // Else the lots were drawn so badly that nothing is tested.
    CHECK((count < 20 || rendered * 3 >= count));
}
