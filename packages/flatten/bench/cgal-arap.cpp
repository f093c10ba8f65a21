// As-rigid-as-possible parameterisation by a general C++ geometry library, as a yardstick for the bench.
// usage: cgal-arap mesh.off iterations -> prints CPU milliseconds, the energy per area and the library's error code
// (6: after the iterations, its repair of turned triangles met a border that is not simple; the layout stays)
#include <CGAL/Simple_cartesian.h>
#include <CGAL/Surface_mesh.h>
#include <CGAL/Surface_mesh_parameterization/ARAP_parameterizer_3.h>
#include <CGAL/Surface_mesh_parameterization/parameterize.h>
#include <CGAL/Polygon_mesh_processing/measure.h>
#include <cmath>
#include <ctime>
#include <fstream>
#include <iostream>

typedef CGAL::Simple_cartesian<double> K;
typedef CGAL::Surface_mesh<K::Point_3> Mesh;
namespace SMP = CGAL::Surface_mesh_parameterization;

int main(int argc, char** argv) {
  Mesh mesh;
  std::ifstream in(argv[1]);
  in >> mesh;
  auto start = std::clock();
  auto uv = mesh.add_property_map<Mesh::Vertex_index, K::Point_2>("v:uv").first;
  auto border = CGAL::Polygon_mesh_processing::longest_border(mesh).first;
  typedef SMP::ARAP_parameterizer_3<Mesh> Parameterizer;
  // A large weight of area keeps the maps rigid (0 would keep them similar); a fixed number of iterations, no early stop.
  Parameterizer parameterizer(Parameterizer::Border_parameterizer(), Parameterizer::Solver_traits(), 1000, std::atoi(argv[2]), 0);
  SMP::Error_code code = SMP::parameterize(mesh, parameterizer, border, uv);
  double ms = 1000.0 * (std::clock() - start) / CLOCKS_PER_SEC;
  double sum = 0, area = 0;
  for (auto f : mesh.faces()) {
    auto h = mesh.halfedge(f);
    Mesh::Vertex_index v[3] = {mesh.source(h), mesh.target(h), mesh.target(mesh.next(h))};
    K::Point_3 p[3] = {mesh.point(v[0]), mesh.point(v[1]), mesh.point(v[2])};
    auto u = p[1] - p[0], w = p[2] - p[0];
    double x1 = std::sqrt(u * u), x2 = (u * w) / x1, y2 = std::sqrt(CGAL::cross_product(u, w).squared_length()) / x1;
    double ux = uv[v[1]].x() - uv[v[0]].x(), uy = uv[v[1]].y() - uv[v[0]].y();
    double vx = uv[v[2]].x() - uv[v[0]].x(), vy = uv[v[2]].y() - uv[v[0]].y();
    double a = ux / x1, c = uy / x1, b = (vx - a * x2) / y2, d = (vy - c * x2) / y2, A = 0.5 * x1 * y2;
    double h1 = a + d, h2 = c - b;
    sum += A * (a * a + b * b + c * c + d * d - 2 * std::sqrt(h1 * h1 + h2 * h2) + 2);
    area += A;
  }
  std::cout << ms << " " << sum / area << " " << code << std::endl;
}
