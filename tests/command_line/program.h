// Runs the real program with real files, for the tests of the command line.
#pragma once

#include <sys/types.h>
#include <filesystem>
#include <string>
#include <vector>

namespace lampflight::testing {

/// A folder of its own for one test; gone with everything in it at the end.
class TemporaryFolder {
public:
    TemporaryFolder();
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;

    std::filesystem::path operator/(const std::string& name) const { return path_ / name; }
    const std::filesystem::path& path() const { return path_; }

    /// Names of all that lies in it, hidden ones as well, sorted.
    std::vector<std::string> names() const;

private:
    std::filesystem::path path_;
};

struct Finished {
    int code = -1;  ///< exit code; 128 + number when a signal ended it
    std::string out;
    std::string err;
    double peak_bytes = 0.0;  ///< the most memory that it held
};

/// The program at work, its outputs going to pipes or files, never to a terminal.
class Running {
public:
    explicit Running(const std::vector<std::string>& arguments);
    ~Running();  ///< ends it if it still runs
    Running(const Running&) = delete;
    Running& operator=(const Running&) = delete;

    void signal(int number) const;
    Finished wait();

private:
    TemporaryFolder outputs_;
    pid_t process_ = -1;
};

/// Runs `lampflight` with these arguments to its end.
Finished run(const std::vector<std::string>& arguments);

/// Runs it on a terminal of so many columns and gives all that was shown there.
std::string run_on_terminal(const std::vector<std::string>& arguments,
                            unsigned short columns = 100);

std::string read_text(const std::filesystem::path& file);
void write_text(const std::filesystem::path& file, const std::string& text);

/// Writes a small scene that renders in a moment, and gives its path.
std::string small_scene(const TemporaryFolder& folder);

/// The lines of a text.
std::vector<std::string> lines_of(const std::string& text);

inline bool contains(const std::string& text, const std::string& part) {
    return text.find(part) != std::string::npos;
}

}  // namespace lampflight::testing
