// OBJ text as a mesh, by way of a file.
#pragma once

#include <doctest/doctest.h>

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "scene/basics/angle.h"
#include "scene/subjects/read_obj.h"
#include "scene/subjects/subject.h"

namespace lampflight {

/// A folder of this process's own, removed with all that is in it.
class ObjFolder {
public:
    ObjFolder()
        : path_(std::filesystem::temp_directory_path() /
                ("lampflight_obj_" + std::to_string(getpid()))) {
        std::filesystem::remove_all(path_);
        std::filesystem::create_directories(path_);
    }
    ~ObjFolder() { std::filesystem::remove_all(path_); }
    ObjFolder(const ObjFolder&) = delete;
    ObjFolder& operator=(const ObjFolder&) = delete;

    std::filesystem::path write(const std::string& name, const std::string& text) const {
        std::ofstream(path_ / name, std::ios::binary) << text;
        return path_ / name;
    }
    std::filesystem::path path() const { return path_; }

private:
    std::filesystem::path path_;
};

/// Read with the crease angle that a scene has when it says nothing.
inline ObjResult read_plain(const std::filesystem::path& file) {
    return read_obj(file, radians(Subject{}.crease_deg));
}

inline ObjMesh sound_obj(const ObjResult& result) {
    const auto* fault = std::get_if<std::string>(&result);
    REQUIRE_MESSAGE(!fault, (fault ? *fault : ""));
    return std::get<ObjMesh>(result);
}

inline ObjMesh obj_of(const std::string& text, double crease_deg = Subject{}.crease_deg) {
    const ObjFolder folder;
    return sound_obj(read_obj(folder.write("a.obj", text), radians(crease_deg)));
}

}  // namespace lampflight
