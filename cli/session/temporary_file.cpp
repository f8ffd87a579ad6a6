#include "cli/session/temporary_file.h"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <cerrno>
#include <string>
#include <string_view>
#include <system_error>

#include <fmt/format.h>

namespace lampflight {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view prefix = ".lampflight-";

bool is_number(std::string_view text) {
    return !text.empty() &&
           std::ranges::all_of(text, [](char letter) { return letter >= '0' && letter <= '9'; });
}

/// `.lampflight-PID-N` and nothing else.
bool is_temporary(std::string_view name) {
    if (!name.starts_with(prefix)) return false;
    name.remove_prefix(prefix.size());
    const std::size_t dash = name.find('-');
    return dash != name.npos && is_number(name.substr(0, dash)) && is_number(name.substr(dash + 1));
}

bool lock(int descriptor) {
    return ::flock(descriptor, LOCK_EX | LOCK_NB) == 0;
}

}  // namespace

int open_temporary(const fs::path& folder, fs::path& name) {
    for (int attempt = 0; attempt < 1000; ++attempt) {
        name = folder / fmt::format("{}{}-{}", prefix, ::getpid(), attempt);
        const int descriptor = ::open(name.c_str(), O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0666);
        if (descriptor < 0 && errno == EEXIST) continue;
        if (descriptor < 0) return descriptor;
        // A file system without locks leaves files behind, and takes none away.
        const bool taken = !lock(descriptor) && errno == EWOULDBLOCK;
        struct stat found {};
        // Another run may have found it in the moment before it was locked.
        if (!taken && ::fstat(descriptor, &found) == 0 && found.st_nlink > 0) return descriptor;
        ::close(descriptor);
    }
    errno = EEXIST;
    return -1;
}

void remove_left_behind(const fs::path& folder) {
    std::error_code error;
    for (fs::directory_iterator entry(folder, error), end; !error && entry != end;
         entry.increment(error)) {
        const fs::path& file = entry->path();
        std::error_code unknown;
        if (!is_temporary(file.filename().string()) || entry->is_symlink(unknown) ||
            !entry->is_regular_file(unknown))
            continue;
        const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC | O_NOFOLLOW);
        if (descriptor < 0) continue;
        if (lock(descriptor)) ::unlink(file.c_str());
        ::close(descriptor);
    }
}

}  // namespace lampflight
