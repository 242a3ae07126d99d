using CaliperStation.Core.Quantities;
using CaliperStation.Core.Reports;
using PdfSharp.Drawing;
using PdfSharp.Fonts;
using PdfSharp.Pdf;

namespace CaliperStation.Printing;

/// <summary>The one font of the paper, carried in the program: DejaVu Sans, whose licence lets it be embedded. Bold is the same letters drawn thicker.</summary>
internal static class PaperFont
{
    internal const string Name = "DejaVu Sans";
    private const string Resource = "DejaVuSans.ttf";
    private const double MeasuredAt = 100;   // points; widths grow with the size

    private static readonly Lock _once = new();
    private static XGraphics? _measuring;
    private static XFont? _plain;

    /// <summary>The font in a size of points.</summary>
    internal static XFont Of(double points, bool strong)
    {
        Ready();
        return new XFont(Name, points, strong ? XFontStyleEx.Bold : XFontStyleEx.Regular, new XPdfFontOptions(PdfFontEncoding.Unicode));
    }

    /// <summary>How wide a text is, in millimetres; see <see cref="TextWidth"/>.</summary>
    internal static double Width(string text, double size, bool strong)
    {
        lock (_once)
        {
            _plain ??= Of(MeasuredAt, strong: false);
            _measuring ??= XGraphics.CreateMeasureContext(new XSize(1000, 1000), XGraphicsUnit.Point, XPageDirection.Downwards);
            return _measuring.MeasureString(PrintableText.Escape(text), _plain).Width * size / MeasuredAt * (strong ? 1.04 : 1);   // made bold from the plain one, each letter is a little wider
        }
    }

    private static void Ready()
    {
        lock (_once)
        {
            GlobalFontSettings.FontResolver ??= new Carried();
        }
    }

    /// <summary>Gives the carried font, whatever is asked for.</summary>
    private sealed class Carried : IFontResolver
    {
        public byte[] GetFont(string faceName)
        {
            using Stream stream = typeof(PaperFont).Assembly.GetManifestResourceStream(Resource) ?? throw new InvalidOperationException($"The program was built without {Resource}.");
            byte[] bytes = new byte[stream.Length];
            stream.ReadExactly(bytes);
            return bytes;
        }

        public FontResolverInfo ResolveTypeface(string familyName, bool bold, bool italic) => new(Name, bold, italic);
    }
}
