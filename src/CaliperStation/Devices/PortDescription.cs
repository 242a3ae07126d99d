using CaliperStation.Core.Quantities;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>What the kernel knows of a port.</summary>
/// <param name="Words">What is plugged in, escaped: a device can call itself anything.</param>
/// <param name="IsGhost">True for a built-in port without hardware.</param>
internal sealed record PortDescription(string Words, bool IsGhost)
{
    // From the port's own folder up to the USB device: port, interface, device; hubs are further up.
    private const int MaxLevels = 4;
    private const int MaxTextLength = 80;

    internal static PortDescription Of(string node, string sysRoot)
    {
        string entry = Path.Combine(sysRoot, "class", "tty", node);
        string folder = Target(entry) ?? entry;   // first: the link below is relative to where this one leads
        string? device = Target(Path.Combine(folder, "device"));
        if (node.StartsWith("ttyS", StringComparison.Ordinal))
        {
            return IsReal(folder, device) ? new("built-in serial port", false) : new("built-in port without hardware", true);
        }

        for (int level = 0; level < MaxLevels && device is not null; level++, device = Path.GetDirectoryName(device))
        {
            string?[] texts = [Text(device, "manufacturer"), Text(device, "product"), Text(device, "serial") is string s ? $"serial {s}" : null];
            string words = string.Join(' ', texts.OfType<string>());
            if (words.Length > 0)
            {
                return new(words, false);
            }
        }

        return new("serial port", false);
    }

    /// <summary>The kernel lists more ttyS than there are; a real one has a type other than 0, or comes from a device list.</summary>
    private static bool IsReal(string folder, string? device) => Text(folder, "type") is string type
        ? type != "0"
        : device is not null && (Path.Exists(Path.Combine(device, "id")) || Path.Exists(Path.Combine(device, "of_node")));

    private static string? Target(string link)
    {
        try
        {
            FileSystemInfo? target = Directory.ResolveLinkTarget(link, returnFinalTarget: true);
            return target?.FullName ?? (Directory.Exists(link) ? link : null);
        }
        catch (IOException)
        {
            return null;
        }
    }

    private static string? Text(string folder, string file)
    {
        try
        {
            string text = File.ReadAllText(Path.Combine(folder, file)).Trim();
            return text.Length == 0 ? null : PrintableText.Escape(text.Length > MaxTextLength ? text[..MaxTextLength] : text);
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            return null;
        }
    }
}
