using CaliperStation.Core.Reports;
using QRCoder;

namespace CaliperStation.Printing;

/// <summary>Makes QR codes (ISO/IEC 18004); only their modules: the paper draws them.</summary>
internal static class ScanCode
{
    private const int QuietZone = 4;   // modules that the library adds around

    /// <summary>The smallest code that holds a text, at level M: 15 % of it may be spoilt.</summary>
    internal static PaperBlock.Code Of(string text)
    {
        using QRCodeGenerator generator = new();
        using QRCodeData data = generator.CreateQrCode(text, QRCodeGenerator.ECCLevel.M);
        int side = data.ModuleMatrix.Count - (2 * QuietZone);
        return new PaperBlock.Code(
            [.. Enumerable.Range(QuietZone, side).Select(row => (IReadOnlyList<bool>)[.. Enumerable.Range(QuietZone, side).Select(column => data.ModuleMatrix[row][column])])], text);
    }
}
