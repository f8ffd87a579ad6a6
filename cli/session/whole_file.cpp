#include "cli/session/whole_file.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>
#include <algorithm>
#include <cerrno>
#include <cstring>
#include <mutex>

#include <fmt/format.h>

#include "cli/session/temporary_file.h"
#include "scene/basics/text_of_file.h"

namespace lampflight {
namespace {

namespace fs = std::filesystem;

constexpr int most_links = 40;  // as the system follows them

std::mutex unfinished_mutex;
fs::path unfinished;  // the one temporary name in use; empty when there is none
std::vector<std::string> written;

Outcome cannot_write(const fs::path& file, const std::string& why) {
    return failure(ExitCode::file_trouble, fmt::format("can't write {}: {}", file.string(), why));
}

std::string_view remedy_of(int error) {
    switch (error) {
        case ENOSPC:
        case EDQUOT:
            return "free some space or write elsewhere";
        case EFBIG:
            return "lift the limit on the size of files (ulimit -f) or write less";
        case EROFS:
        case EIO:
            return "write elsewhere";
        case EACCES:
        case EPERM:
            return "choose a name that you may write to";
        case ENAMETOOLONG:
            return "choose a shorter name";
        default:
            return "choose another name";
    }
}

Outcome cannot_write(const fs::path& file, int error) {
    return cannot_write(file, fmt::format("{}; {}", std::strerror(error), remedy_of(error)));
}

fs::path folder_of(const fs::path& file) {
    return file.has_parent_path() ? file.parent_path() : fs::path(".");
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

fs::path real_place(const fs::path& file) {
    fs::path place = file;
    std::error_code error;
    // Step by step, as no call of the library follows a link to what is not there.
    for (int links = 0; fs::is_symlink(place, error); ++links) {
        if (links == most_links) return file;
        const fs::path target = fs::read_symlink(place, error);
        if (error) return file;
        place = place.parent_path() / target;
    }
    return place;
}

Expected<Done> check_writable(const fs::path& file) {
    const fs::path place = real_place(file);
    const fs::path folder = folder_of(place);
    std::error_code error;
    const bool is_folder = fs::is_directory(folder, error);
    if (!is_folder && (!error || error == std::errc::no_such_file_or_directory))
        return cannot_write(
            file,
            fmt::format("there is no folder {}; make it first, or name another", folder.string()));
    struct stat found {};
    if (::stat(place.c_str(), &found) == 0) {
        if (const std::string kind = kind_of_file(place); !kind.empty())
            return cannot_write(
                file, fmt::format("it is {}, not a plain file; choose another name", kind));
        if (::access(place.c_str(), W_OK) != 0) return cannot_write(file, errno);
    } else if (errno != ENOENT) {
        return cannot_write(file, errno);
    }
    fs::path probe;
    const int descriptor = open_temporary(folder, probe);
    if (descriptor < 0) return cannot_write(file, errno);
    ::unlink(probe.c_str());
    ::close(descriptor);
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
    remove_left_behind(folder_of(place));
    const int descriptor = open_temporary(folder_of(place), temporary);
    if (descriptor < 0) return cannot_write(file, errno);
    set_unfinished(temporary);
    struct stat before {};
    if (::stat(place.c_str(), &before) == 0) ::fchmod(descriptor, before.st_mode & 0777);
    int error = 0;
    try {
        error = fill(descriptor);
    } catch (...) {
        finish(temporary, place, false);
        ::close(descriptor);
        throw;
    }
    if (error == 0 && ::fsync(descriptor) != 0) error = errno;
    const bool stopped = stop.stop_requested();
    const int last_error = finish(temporary, place, error == 0 && !stopped);
    ::close(descriptor);  // not before: its lock tells other runs that it is under way
    if (error == 0) error = last_error;
    if (error != 0) return cannot_write(file, error);
    if (stopped) return interruption();
    return Done{};
}

std::vector<std::string> give_up_writing() {
    unfinished_mutex.lock();  // and never unlocked
    if (!unfinished.empty()) ::unlink(unfinished.c_str());
    return written;
}

}  // namespace lampflight
