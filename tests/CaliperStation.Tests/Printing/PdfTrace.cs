using System.Globalization;
using System.Xml.Linq;

namespace CaliperStation.Tests.Printing;

/// <summary>The lines of a PDF as another program reads them (<c>mutool draw -F trace</c>), page by page, in millimetres from the top left.</summary>
internal sealed record PdfTrace(IReadOnlyList<(double Width, double Height, IReadOnlyList<IReadOnlyList<(double X, double Y)>> Paths)> Pages)
{
    internal static PdfTrace Of(byte[] pdf)
    {
        XElement document = XElement.Parse(Drawn(pdf, "trace"));
        return new([.. document.Elements("page").Select(Page)]);
    }

    /// <summary>A PDF as <c>mutool draw</c> gives it in one of its formats.</summary>
    internal static string Drawn(byte[] pdf, string format)
    {
        using TemporaryFolder place = new();
        string file = Path.Combine(place.Path, "paper.pdf");
        File.WriteAllBytes(file, pdf);
        return Tool.Run("mutool", "draw", "-F", format, file);
    }

    private static (double, double, IReadOnlyList<IReadOnlyList<(double, double)>>) Page(XElement page)
    {
        double[] box = Numbers(page.Attribute("mediabox")!.Value);
        return (Millimetres(box[2] - box[0]), Millimetres(box[3] - box[1]),
            [.. page.Descendants().Where(element => element.Name.LocalName is "stroke_path" or "fill_path").SelectMany(Paths)]);
    }

    /// <summary>The sub-paths of one path, each as the points it goes through.</summary>
    private static IEnumerable<IReadOnlyList<(double, double)>> Paths(XElement path)
    {
        double[] m = Numbers(path.Attribute("transform")!.Value);
        List<(double, double)>? now = null;
        foreach (XElement step in path.Elements())
        {
            if (step.Name.LocalName == "moveto")
            {
                if (now is not null)
                {
                    yield return now;
                }

                now = [];
            }

            if (step.Name.LocalName is "moveto" or "lineto" or "curveto")
            {
                (double x, double y) = step.Attribute("x3") is { } end ? (Number(end), Number(step.Attribute("y3")!)) : (Number(step.Attribute("x")!), Number(step.Attribute("y")!));
                now!.Add((Millimetres((m[0] * x) + (m[2] * y) + m[4]), Millimetres((m[1] * x) + (m[3] * y) + m[5])));
            }
        }

        if (now is not null)
        {
            yield return now;
        }
    }

    private static double Millimetres(double points) => points * 25.4 / 72;

    private static double Number(XAttribute attribute) => double.Parse(attribute.Value, CultureInfo.InvariantCulture);

    private static double[] Numbers(string text) => [.. text.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(number => double.Parse(number, CultureInfo.InvariantCulture))];
}
