#include "cli/session/outputs.h"

#include <sys/stat.h>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "cli/session/whole_file.h"

namespace lampflight {
namespace {

namespace fs = std::filesystem;

/// What a name leads to, where something is there already.
std::optional<std::pair<dev_t, ino_t>> identity_of(const fs::path& file) {
    struct stat found {};
    if (::stat(file.c_str(), &found) != 0) return std::nullopt;
    return std::pair(found.st_dev, found.st_ino);
}

bool are_one(const fs::path& a, const fs::path& b) {
    const auto of_a = identity_of(a), of_b = identity_of(b);
    if (of_a || of_b) return of_a == of_b;
    // Neither is there yet: the same name in the same folder, or in one that links lead to.
    std::error_code error;
    const fs::path place_of_a = fs::weakly_canonical(fs::absolute(real_place(a), error), error);
    const fs::path place_of_b = fs::weakly_canonical(fs::absolute(real_place(b), error), error);
    return place_of_a == place_of_b;
}

Outcome refusal(const fs::path& output, const std::string& what) {
    return failure(
        ExitCode::wrong_command_line,
        fmt::format("can't write {}: it is {}; choose another name", output.string(), what));
}

}  // namespace

Expected<Done> check_outputs(const std::vector<fs::path>& outputs,
                             const std::vector<InputFile>& inputs) {
    for (std::size_t i = 0; i < outputs.size(); ++i) {
        for (const InputFile& input : inputs)
            if (are_one(outputs[i], input.file)) return refusal(outputs[i], input.what);
        for (std::size_t k = 0; k < i; ++k)
            if (are_one(outputs[i], outputs[k]))
                return refusal(outputs[i],
                               fmt::format("the same file as {}, which is to be written as well",
                                           outputs[k].string()));
        if (const auto writable = check_writable(outputs[i]); !writable) return writable;
    }
    return Done{};
}

}  // namespace lampflight
