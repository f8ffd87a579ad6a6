#include "renderer/surface_light/cell_clusters.h"

#include <algorithm>
#include <queue>

namespace lampflight {
namespace {

/// Cells of one cluster, as a part of the list of all.
struct Part {
    std::uint32_t mesh;
    std::uint32_t first;
    std::uint32_t end;
    float weight = 0.0f;    ///< power times diagonal
    int axis = 0;           ///< the longest
    float middle_m = 0.0f;  ///< of the power along it
};

bool operator<(const Part& a, const Part& b) {
    if (a.weight != b.weight) return a.weight < b.weight;
    return a.first > b.first;
}

class Halving {
public:
    Halving(const IrradianceCache& cells, const std::vector<float>& power)
        : cells_(cells), power_(power) {
        for (const IrradianceCache::Run& run : cells.runs) {
            const auto first = static_cast<std::uint32_t>(listed_.size());
            for (std::uint32_t cell = run.first; cell < run.end; ++cell)
                if (power[cell] > 0.0f) listed_.push_back(cell);
            const auto end = static_cast<std::uint32_t>(listed_.size());
            if (end > first) add({run.mesh, first, end});
        }
    }

    std::vector<Part> parts(std::size_t most) {
        while (parts_.size() < most && !parts_.empty() && parts_.top().weight > 0.0f) {
            const Part whole = parts_.top();
            parts_.pop();
            const std::uint32_t middle = halve(whole);
            add({whole.mesh, whole.first, middle});
            add({whole.mesh, middle, whole.end});
        }
        std::vector<Part> all;
        for (; !parts_.empty(); parts_.pop()) all.push_back(parts_.top());
        std::ranges::sort(all, {}, &Part::first);
        return all;
    }

    const std::vector<std::uint32_t>& listed() const { return listed_; }

private:
    void add(Part part) {
        glm::vec3 low(std::numeric_limits<float>::infinity()), high = -low, sum(0.0f);
        float power = 0.0f;
        for (std::uint32_t k = part.first; k < part.end; ++k) {
            const glm::vec3 position_m = cells_.position_m[listed_[k]];
            low = glm::min(low, position_m);
            high = glm::max(high, position_m);
            sum += power_[listed_[k]] * position_m;
            power += power_[listed_[k]];
        }
        const glm::vec3 size = high - low;
        part.axis = size.x >= size.y ? (size.x >= size.z ? 0 : 2) : (size.y >= size.z ? 1 : 2);
        part.middle_m = sum[part.axis] / power;
        part.weight = part.end - part.first > 1 ? power * glm::length(size) : 0.0f;
        parts_.push(part);
    }

    /// Puts the cells on either side of the middle apart. Returns where the second half begins.
    std::uint32_t halve(const Part& part) {
        const auto at = [&](std::uint32_t place) {
            return listed_.begin() + static_cast<std::ptrdiff_t>(place);
        };
        const auto along = [&](std::uint32_t cell) { return cells_.position_m[cell][part.axis]; };
        const auto border = std::partition(at(part.first), at(part.end), [&](std::uint32_t cell) {
            return along(cell) < part.middle_m;
        });
        const auto found = static_cast<std::uint32_t>(border - listed_.begin());
        if (found > part.first && found < part.end) return found;
        // Rounding put all of them on one side.
        return part.first + (part.end - part.first) / 2;
    }

    const IrradianceCache& cells_;
    const std::vector<float>& power_;
    std::vector<std::uint32_t> listed_;  ///< cells with power
    std::priority_queue<Part> parts_;
};

}  // namespace

CellClusters cluster_cells(const IrradianceCache& cells, const std::vector<float>& power,
                           std::size_t most) {
    CellClusters clusters;
    clusters.of_cell.assign(cells.position_m.size(), CellClusters::none);
    Halving halving(cells, power);
    for (const Part& part : halving.parts(most)) {
        const auto number = static_cast<std::uint16_t>(clusters.mesh.size());
        for (std::uint32_t k = part.first; k < part.end; ++k)
            clusters.of_cell[halving.listed()[k]] = number;
        clusters.mesh.push_back(part.mesh);
    }
    return clusters;
}

}  // namespace lampflight
