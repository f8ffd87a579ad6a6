#include "cli/session/machine_memory.h"

#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <limits>
#include <string>

namespace lampflight {
namespace {

namespace fs = std::filesystem;

constexpr double unbounded = std::numeric_limits<double>::infinity();

/// The number in a file; without bounds where there is no file or no number, such as "max".
double limit_in(const fs::path& file) {
    std::ifstream in(file);
    double bytes = 0.0;
    return in >> bytes && bytes > 0.0 ? bytes : unbounded;
}

/// The least limit of a group and of all groups above it.
double limit_along(const fs::path& root, std::string group, const char* file) {
    double least = limit_in(root / file);
    while (!group.empty() && group != "/") {
        least = std::min(least, limit_in(root / group.substr(1) / file));
        group.resize(group.rfind('/'));
    }
    return least;
}

/// Of the groups that the program runs in: lines of "number:controllers:group" (cgroups(7)).
double groups_limit() {
    std::ifstream lines("/proc/self/cgroup");
    double least = unbounded;
    for (std::string line; std::getline(lines, line);) {
        const std::size_t first = line.find(':');
        const std::size_t second = first == std::string::npos ? first : line.find(':', first + 1);
        if (second == std::string::npos) continue;
        const std::string controllers = line.substr(first + 1, second - first - 1);
        const std::string group = line.substr(second + 1);
        if (controllers.empty())
            least = std::min(least, limit_along("/sys/fs/cgroup", group, "memory.max"));
        else if (controllers == "memory")
            least = std::min(least,
                             limit_along("/sys/fs/cgroup/memory", group, "memory.limit_in_bytes"));
    }
    return least;
}

}  // namespace

double machine_memory_bytes() {
    const long pages = sysconf(_SC_PHYS_PAGES);
    const long page_bytes = sysconf(_SC_PAGESIZE);
    const double physical = pages > 0 && page_bytes > 0
                                ? static_cast<double>(pages) * static_cast<double>(page_bytes)
                                : unbounded;
    return std::min(physical, groups_limit());
}

double memory_in_use_bytes() {
    std::ifstream statm("/proc/self/statm");
    double size_pages = 0.0, resident_pages = 0.0;
    return statm >> size_pages >> resident_pages
               ? resident_pages * static_cast<double>(sysconf(_SC_PAGESIZE))
               : 0.0;
}

}  // namespace lampflight
