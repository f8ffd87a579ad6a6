#include "tests/command_line/program.h"

#include <fcntl.h>
#include <pty.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>
#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <fstream>
#include <sstream>
#include <stdexcept>

extern char** environ;

namespace lampflight::testing {
namespace {

namespace fs = std::filesystem;

std::vector<char*> argument_pointers(std::vector<std::string>& words) {
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    return pointers;
}

std::vector<std::string> with_program(const std::vector<std::string>& arguments) {
    std::vector<std::string> words{LAMPFLIGHT_PROGRAM};
    words.insert(words.end(), arguments.begin(), arguments.end());
    return words;
}

int exit_code(int status) {
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

}  // namespace

TemporaryFolder::TemporaryFolder() {
    std::string name = (fs::temp_directory_path() / "lampflight test XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder");
    path_ = name;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
}

std::vector<std::string> TemporaryFolder::names() const {
    std::vector<std::string> names;
    for (const auto& entry : fs::directory_iterator(path_))
        names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
}

Running::Running(const std::vector<std::string>& arguments) {
    std::vector<std::string> words = with_program(arguments);
    posix_spawn_file_actions_t files;
    posix_spawn_file_actions_init(&files);
    const int flags = O_WRONLY | O_CREAT | O_TRUNC;
    posix_spawn_file_actions_addopen(&files, 0, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_addopen(&files, 1, (outputs_ / "out").c_str(), flags, 0600);
    posix_spawn_file_actions_addopen(&files, 2, (outputs_ / "err").c_str(), flags, 0600);
    // A shell that runs the tests in the background makes them ignore Ctrl-C; undo that.
    posix_spawnattr_t attributes;
    posix_spawnattr_init(&attributes);
    sigset_t usual;
    sigemptyset(&usual);
    for (const int number : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&usual, number);
    posix_spawnattr_setsigdefault(&attributes, &usual);
    posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGDEF);
    const int error = posix_spawn(&process_, LAMPFLIGHT_PROGRAM, &files, &attributes,
                                  argument_pointers(words).data(), environ);
    posix_spawnattr_destroy(&attributes);
    posix_spawn_file_actions_destroy(&files);
    if (error != 0) throw std::runtime_error("the program can't be started");
}

Running::~Running() {
    if (process_ < 0) return;
    ::kill(process_, SIGKILL);
    ::waitpid(process_, nullptr, 0);
}

void Running::signal(int number) const {
    ::kill(process_, number);
}

Finished Running::wait() {
    int status = 0;
    rusage usage{};
    ::wait4(process_, &status, 0, &usage);
    process_ = -1;
    constexpr double kib = 1024.0;
    return {exit_code(status), read_text(outputs_ / "out"), read_text(outputs_ / "err"),
            kib * static_cast<double>(usage.ru_maxrss)};
}

Finished run(const std::vector<std::string>& arguments) {
    return Running(arguments).wait();
}

std::string run_on_terminal(const std::vector<std::string>& arguments, unsigned short columns) {
    std::vector<std::string> words = with_program(arguments);
    const std::vector<char*> pointers = argument_pointers(words);
    const winsize size{40, columns, 0, 0};
    int terminal = -1;
    const pid_t process = ::forkpty(&terminal, nullptr, nullptr, &size);
    if (process < 0) throw std::runtime_error("no terminal to be had");
    if (process == 0) {
        ::execv(LAMPFLIGHT_PROGRAM, pointers.data());
        ::_exit(127);
    }
    std::string shown;
    char buffer[4096];
    ssize_t count = 0;
    while ((count = ::read(terminal, buffer, sizeof buffer)) > 0)
        shown.append(buffer, static_cast<std::size_t>(count));
    ::close(terminal);
    ::waitpid(process, nullptr, 0);
    return shown;
}

std::string read_text(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream text;
    text << stream.rdbuf();
    return text.str();
}

void write_text(const fs::path& file, const std::string& text) {
    std::ofstream(file, std::ios::binary) << text;
}

std::string small_scene(const TemporaryFolder& folder) {
    const fs::path file = folder / "small.toml";
    write_text(file, R"(title = "Small halo"
[ground]
kind = "flat"
[camera]
pixels = [960, 640]
position_m = [0, -12, 1.5]
look_at_m = [0, 0, 3]
focal_mm = 20
f_number = 8
iso = 400
shutter_s = 10
[[lamp]]
name = "warm"
[[flight]]
name = "halo"
height_m = 6
radius_m = 3
lap_s = 8
carries = ["warm"]
[[point]]
name = "ground"
position_m = [0, 0, 0]
[[point]]
name = "behind the camera"
position_m = [0, -40, 0]
[[take]]
name = "low"
flights = ["halo"]
[[take]]
name = "short"
flights = ["halo"]
shutter_s = 7
)");
    return file.string();
}

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

}  // namespace lampflight::testing
