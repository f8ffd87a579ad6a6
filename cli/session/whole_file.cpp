#include "cli/session/whole_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <cerrno>
#include <cstring>
#include <mutex>

#include <fmt/format.h>

namespace lampflight {
namespace {

namespace fs = std::filesystem;

std::mutex unfinished_mutex;
fs::path unfinished;  // the one temporary name in use; empty when there is none
std::vector<std::string> written;

Outcome cannot_write(const fs::path& file, const std::string& why) {
    return failure(ExitCode::file_trouble, fmt::format("can't write {}: {}", file.string(), why));
}

Outcome cannot_write(const fs::path& file, int error, const std::string& remedy) {
    return cannot_write(file, fmt::format("{}; {}", std::strerror(error), remedy));
}

/// The place that a name stands for: a link is followed, so that the link itself stays.
fs::path real_place(const fs::path& file) {
    std::error_code error;
    if (!fs::is_symlink(file, error)) return file;
    const fs::path target = fs::weakly_canonical(file, error);
    return error ? file : target;
}

fs::path folder_of(const fs::path& file) {
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
}

/// A new empty file in the folder under a name that nobody uses; errno tells of a failure.
int open_beside(const fs::path& folder, fs::path& name) {
    for (int attempt = 0; attempt < 1000; ++attempt) {
        name = folder / fmt::format(".lampflight-{}-{}", ::getpid(), attempt);
        const int descriptor = ::open(name.c_str(), O_CREAT | O_EXCL | O_WRONLY | O_CLOEXEC, 0666);
        if (descriptor >= 0 || errno != EEXIST) return descriptor;
    }
    return -1;
}

/// Zero, or the error number of the write that failed.
int write_all(int descriptor, std::string_view bytes, const std::stop_token& stop) {
    constexpr std::size_t most_at_once = std::size_t{1} << 20;
    while (!bytes.empty() && !stop.stop_requested()) {
        const ssize_t count =
            ::write(descriptor, bytes.data(), std::min(bytes.size(), most_at_once));
        if (count < 0 && errno == EINTR) continue;
        if (count < 0) return errno;
        bytes.remove_prefix(static_cast<std::size_t>(count));
    }
    return 0;
}

void set_unfinished(const fs::path& name) {
    const std::lock_guard lock(unfinished_mutex);
    unfinished = name;
}

/// The last step of a write: into its place, or away. Under the lock, so that a program that ends
/// at once finds the file either renamed or still to be removed.
int finish(const fs::path& temporary, const fs::path& place, bool keep) {
    const std::lock_guard lock(unfinished_mutex);
    unfinished.clear();
    if (keep && ::rename(temporary.c_str(), place.c_str()) == 0) {
        written.push_back(place.string());
        return 0;
    }
    const int error = keep ? errno : 0;
    ::unlink(temporary.c_str());
    return error;
}

}  // namespace

Expected<Done> check_writable(const fs::path& file) {
    const fs::path place = real_place(file);
    const fs::path folder = folder_of(place);
    std::error_code error;
    if (!fs::is_directory(folder, error))
        return cannot_write(
            file,
            fmt::format("there is no folder {}; make it first, or name another", folder.string()));
    if (fs::exists(place, error)) {
        if (!fs::is_regular_file(place, error))
            return cannot_write(file, "it is not a plain file; choose another name");
        if (::access(place.c_str(), W_OK) != 0)
            return cannot_write(file, errno, "choose another name, or allow writing to it");
    }
    fs::path probe;
    const int descriptor = open_beside(folder, probe);
    if (descriptor < 0) return cannot_write(file, errno, "choose a folder that you may write to");
    ::close(descriptor);
    ::unlink(probe.c_str());
    return Done{};
}

Expected<Done> write_whole_file(const fs::path& file, std::string_view bytes,
                                std::stop_token stop) {
    return write_whole_file(
        file, [&](int descriptor) { return write_all(descriptor, bytes, stop); }, stop);
}

Expected<Done> write_whole_file(const fs::path& file, const FillFile& fill, std::stop_token stop) {
    const fs::path place = real_place(file);
    fs::path temporary;
    const int descriptor = open_beside(folder_of(place), temporary);
    if (descriptor < 0) return cannot_write(file, errno, "choose a folder that you may write to");
    set_unfinished(temporary);
    struct stat before {};
    if (::stat(place.c_str(), &before) == 0) ::fchmod(descriptor, before.st_mode & 0777);
    int error = 0;
    try {
        error = fill(descriptor);
    } catch (...) {
        ::close(descriptor);
        finish(temporary, place, false);
        throw;
    }
    if (error == 0 && ::fsync(descriptor) != 0) error = errno;
    if (::close(descriptor) != 0 && error == 0) error = errno;
    const bool stopped = stop.stop_requested();
    const int last_error = finish(temporary, place, error == 0 && !stopped);
    if (error == 0) error = last_error;
    if (error != 0) return cannot_write(file, error, "free some space or write elsewhere");
    if (stopped) return interruption();
    return Done{};
}

std::vector<std::string> give_up_writing() {
    unfinished_mutex.lock();  // and never unlocked
    if (!unfinished.empty()) ::unlink(unfinished.c_str());
    return written;
}

Expected<std::string> read_file(const fs::path& file, std::size_t most_bytes,
                                const std::string& remedy) {
    const auto cannot_read = [&](int error) {
        return failure(ExitCode::file_trouble, fmt::format("can't read {}: {}; {}", file.string(),
                                                           std::strerror(error), remedy));
    };
    const int descriptor = ::open(file.c_str(), O_RDONLY | O_CLOEXEC);
    if (descriptor < 0) return cannot_read(errno);
    std::string text;
    char buffer[65536];
    ssize_t count = 1;
    while (count != 0 && text.size() < most_bytes) {
        count = ::read(descriptor, buffer, std::min(sizeof buffer, most_bytes - text.size()));
        if (count < 0 && errno != EINTR) break;
        if (count > 0) text.append(buffer, static_cast<std::size_t>(count));
    }
    const int error = count < 0 ? errno : 0;
    ::close(descriptor);
    if (error != 0) return cannot_read(error);
    return text;
}

}  // namespace lampflight
