#include "scene/subjects/models/isosurface.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>

#include <tbb/parallel_for.h>

#include "scene/subjects/models/distance_lattice.h"

namespace lampflight {

namespace {

// A cell's corners are numbered by bits x, y, z; its twelve edges run along x, y, z in fours.
struct CellEdge {
    std::uint8_t from, to;
};

constexpr std::array<CellEdge, 12> cell_edges{{{0, 1},
                                               {2, 3},
                                               {4, 5},
                                               {6, 7},
                                               {0, 2},
                                               {1, 3},
                                               {4, 6},
                                               {5, 7},
                                               {0, 4},
                                               {1, 5},
                                               {2, 6},
                                               {3, 7}}};

constexpr std::uint8_t edge_between(unsigned a, unsigned b) {
    for (std::uint8_t edge = 0; edge < 12; ++edge)
        if ((cell_edges[edge].from == a && cell_edges[edge].to == b) ||
            (cell_edges[edge].from == b && cell_edges[edge].to == a))
            return edge;
    return 0;
}

/// The edge that leaves a corner along each axis, for corners that lie low on it.
constexpr std::array<std::array<std::uint8_t, 3>, 8> edges_up = [] {
    std::array<std::array<std::uint8_t, 3>, 8> made{};
    for (unsigned corner = 0; corner < 8; ++corner)
        for (unsigned axis = 0; axis < 3; ++axis)
            made[corner][axis] = edge_between(corner, corner | (1u << axis));
    return made;
}();

/// For each pattern of inside corners: which sheet of the surface crosses each edge, and how many.
struct Sheets {
    std::array<std::uint8_t, 12> of_edge{};
    std::uint8_t count = 0;
};

constexpr std::uint8_t no_sheet = 255;

/// Gives two crossed edges of a cell the same sheet.
void join(Sheets& sheets, std::uint8_t a, std::uint8_t b) {
    const std::uint8_t kept = sheets.of_edge[a], gone = sheets.of_edge[b];
    for (std::uint8_t& sheet : sheets.of_edge)
        if (sheet == gone) sheet = kept;
}

/// On a face of a cell the surface joins the two edges that it crosses.
void join_on_face(Sheets& sheets, const std::array<unsigned, 4>& loop) {
    std::uint8_t first = no_sheet;
    for (unsigned k = 0; k < 4; ++k) {
        const std::uint8_t edge = edge_between(loop[k], loop[(k + 1) % 4]);
        if (sheets.of_edge[edge] == no_sheet) continue;
        if (first == no_sheet)
            first = edge;
        else
            join(sheets, first, edge);
    }
}

Sheets sheets_of(unsigned pattern) {
    Sheets sheets;
    sheets.of_edge.fill(no_sheet);
    for (std::uint8_t e = 0; e < 12; ++e)
        if (((pattern >> cell_edges[e].from) ^ (pattern >> cell_edges[e].to)) & 1u)
            sheets.of_edge[e] = e;
    for (unsigned axis = 0; axis < 3; ++axis) {
        const unsigned u = 1u << ((axis + 1) % 3), v = 1u << ((axis + 2) % 3);
        for (const unsigned base : {0u, 1u << axis})
            join_on_face(sheets, {base, base | u, base | u | v, base | v});
    }
    std::array<std::uint8_t, 12> number{};
    number.fill(no_sheet);
    for (std::uint8_t& sheet : sheets.of_edge) {
        if (sheet == no_sheet) continue;
        if (number[sheet] == no_sheet) number[sheet] = sheets.count++;
        sheet = number[sheet];
    }
    return sheets;
}

const std::array<Sheets, 256>& sheet_table() {
    static const std::array<Sheets, 256> table = [] {
        std::array<Sheets, 256> made;
        for (unsigned pattern = 0; pattern < 256; ++pattern) made[pattern] = sheets_of(pattern);
        return made;
    }();
    return table;
}

constexpr std::uint32_t no_vertex = std::numeric_limits<std::uint32_t>::max();

glm::ivec3 corner_offset(unsigned corner) {
    return {static_cast<int>(corner & 1u), static_cast<int>((corner >> 1) & 1u),
            static_cast<int>((corner >> 2) & 1u)};
}

/// Puts the vertices of a cell each in the middle of where its sheet crosses the edges.
void place_cell_vertices(Mesh& mesh, const DistanceLattice& lattice, const glm::ivec3& cell,
                         const Sheets& sheets, std::size_t first) {
    std::array<Vec3, 4> sum{};
    std::array<int, 4> crossings{};
    for (std::size_t e = 0; e < 12; ++e) {
        if (sheets.of_edge[e] == no_sheet) continue;
        const glm::ivec3 a = cell + corner_offset(cell_edges[e].from);
        const glm::ivec3 b = cell + corner_offset(cell_edges[e].to);
        const double from = double{lattice.value(a)}, to = double{lattice.value(b)};
        sum[sheets.of_edge[e]] += glm::mix(Vec3(a), Vec3(b), from / (from - to));
        ++crossings[sheets.of_edge[e]];
    }
    for (std::size_t sheet = 0; sheet < sheets.count; ++sheet)
        mesh.positions[first + sheet] =
            glm::vec3(lattice.place_m(sum[sheet] / double(crossings[sheet])));
}

/// Value and gradient from four places about one (the corners of a tetrahedron).
void settle_vertex(Mesh& mesh, std::size_t vertex, const SignedDistance& distance_m,
                   double cell_m) {
    constexpr std::array<Vec3, 4> corners{Vec3{1, 1, 1}, Vec3{1, -1, -1}, Vec3{-1, 1, -1},
                                          Vec3{-1, -1, 1}};
    const double reach_m = 0.25 * cell_m;
    const Vec3 place_m(mesh.positions[vertex]);
    Vec3 slope(0.0);
    double value_m = 0.0;
    for (const Vec3& corner : corners) {
        const double d = distance_m(place_m + corner * reach_m);
        slope += corner * (d / (4.0 * reach_m));
        value_m += 0.25 * d;
    }
    const double steepness = glm::length(slope);
    const Vec3 normal = steepness > 1e-9 ? slope / steepness : Vec3(0.0, 0.0, 1.0);
    const double step_m =
        std::clamp(value_m / std::max(steepness, 0.3), -0.3 * cell_m, 0.3 * cell_m);
    mesh.positions[vertex] = glm::vec3(place_m - normal * step_m);
    mesh.normals[vertex] = glm::vec3(normal);
}

void add_quad(Mesh& mesh, std::array<std::uint32_t, 4> q, bool turned, std::uint16_t material) {
    if (turned) std::swap(q[1], q[3]);
    const auto& p = mesh.positions;
    const bool short_way = glm::distance(p[q[0]], p[q[2]]) <= glm::distance(p[q[1]], p[q[3]]);
    if (short_way) {
        mesh.triangles.push_back({q[0], q[1], q[2]});
        mesh.triangles.push_back({q[0], q[2], q[3]});
    } else {
        mesh.triangles.push_back({q[0], q[1], q[3]});
        mesh.triangles.push_back({q[1], q[2], q[3]});
    }
    mesh.material_of.insert(mesh.material_of.end(), 2, material);
}

/// What the lattice's cells hold.
struct CellVertices {
    std::vector<std::uint32_t> first;     ///< by cell; no_vertex where there is none
    std::vector<std::uint8_t> pattern;    ///< by cell
    std::vector<glm::ivec3> crossed;      ///< cells with surface in them
    std::vector<std::uint32_t> first_of;  ///< by crossed cell
};

/// Numbers the vertices of all crossed cells, from the mesh's next one on.
CellVertices number_vertices(const Mesh& mesh, const DistanceLattice& lattice) {
    CellVertices cells{std::vector<std::uint32_t>(lattice.size(), no_vertex),
                       std::vector<std::uint8_t>(lattice.size(), 0),
                       lattice.crossed_cells(),
                       {}};
    auto next = static_cast<std::uint32_t>(mesh.positions.size());
    for (const glm::ivec3& cell : cells.crossed) {
        const unsigned pattern = lattice.pattern(cell);
        cells.first[lattice.index(cell)] = next;
        cells.pattern[lattice.index(cell)] = static_cast<std::uint8_t>(pattern);
        cells.first_of.push_back(next);
        next += sheet_table()[pattern].count;
    }
    cells.first_of.push_back(next);
    return cells;
}

/// Adds the quad about the lattice edge that leaves a cell's corner 0 along an axis, if crossed.
void add_edge_quad(Mesh& mesh, const DistanceLattice& lattice, const CellVertices& cells,
                   const glm::ivec3& cell, int axis, std::uint16_t material) {
    const unsigned pattern = cells.pattern[lattice.index(cell)];
    const bool from_inside = pattern & 1u, to_inside = (pattern >> (1 << axis)) & 1u;
    const int u = (axis + 1) % 3, v = (axis + 2) % 3;
    if (from_inside == to_inside || cell[u] == 0 || cell[v] == 0) return;
    std::array<std::uint32_t, 4> quad{};
    // The four cells about the edge, anticlockwise; as each sees it, the edge is off in u, v.
    constexpr std::array<glm::ivec2, 4> off{glm::ivec2{1, 1}, {0, 1}, {0, 0}, {1, 0}};
    for (std::size_t k = 0; k < 4; ++k) {
        glm::ivec3 at = cell;
        at[u] -= off[k].x;
        at[v] -= off[k].y;
        const unsigned from = static_cast<unsigned>(off[k].x << u | off[k].y << v);
        const std::size_t index = lattice.index(at);
        const std::uint8_t sheet = sheet_table()[cells.pattern[index]]
                                       .of_edge[edges_up[from][static_cast<std::size_t>(axis)]];
        if (cells.first[index] == no_vertex || sheet == no_sheet) return;
        quad[k] = cells.first[index] + sheet;
    }
    add_quad(mesh, quad, !from_inside, material);
}

/// The gradient is read off close by; in creases finer than the cells it can point anywhere. There
/// the faces about the vertex know better.
void mend_normals(Mesh& mesh, std::size_t first_vertex, std::size_t first_triangle) {
    std::vector<glm::vec3> faces(mesh.positions.size() - first_vertex, glm::vec3(0.0f));
    for (std::size_t i = first_triangle; i < mesh.triangles.size(); ++i) {
        const auto& [a, b, c] = mesh.triangles[i];
        const glm::vec3 face = glm::cross(mesh.positions[b] - mesh.positions[a],
                                          mesh.positions[c] - mesh.positions[a]);
        for (const std::uint32_t corner : {a, b, c}) faces[corner - first_vertex] += face;
    }
    for (std::size_t i = 0; i < faces.size(); ++i) {
        const float size = glm::length(faces[i]);
        glm::vec3& normal = mesh.normals[first_vertex + i];
        if (size > 0.0f && glm::dot(normal, faces[i]) < 0.7f * size) normal = faces[i] / size;
    }
}

}  // namespace

void add_isosurface(Mesh& mesh, const SignedDistance& distance_m, const Box& box, double cell_m,
                    std::uint16_t material) {
    const DistanceLattice lattice(distance_m, box, cell_m);
    const CellVertices cells = number_vertices(mesh, lattice);
    const std::size_t first = mesh.positions.size(), first_triangle = mesh.triangles.size();
    mesh.positions.resize(cells.first_of.back());
    mesh.normals.resize(cells.first_of.back());
    tbb::parallel_for(std::size_t{0}, cells.crossed.size(), [&](std::size_t i) {
        const Sheets& sheets = sheet_table()[lattice.pattern(cells.crossed[i])];
        place_cell_vertices(mesh, lattice, cells.crossed[i], sheets, cells.first_of[i]);
        for (std::size_t v = cells.first_of[i]; v < cells.first_of[i + 1]; ++v)
            settle_vertex(mesh, v, distance_m, cell_m);
    });
    for (const glm::ivec3& cell : cells.crossed)
        for (int axis = 0; axis < 3; ++axis)
            add_edge_quad(mesh, lattice, cells, cell, axis, material);
    mend_normals(mesh, first, first_triangle);
}

}  // namespace lampflight
