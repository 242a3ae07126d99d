using System.IO.Ports;
using CaliperStation.Core.Quantities;

namespace CaliperStation.Devices;

/// <summary>The serial ports of the machine, those with a stable name first.</summary>
/// <param name="devRoot">The folder of device nodes.</param>
/// <param name="sysRoot">The folder where the kernel describes devices.</param>
/// <param name="trouble">Says why a port cannot be opened.</param>
internal sealed class PortList(string devRoot, string sysRoot, Func<string, PortTrouble?> trouble)
{
    // USB converters, USB modems, Bluetooth, and the serial pins of small boards; ttyS are the built-in ones.
    private static readonly string[] _families = ["ttyUSB", "ttyACM", "rfcomm", "ttyAMA", "ttyTHS", "ttyS"];

    /// <summary>The machine's own ports.</summary>
    internal static PortList OfMachine() => new("/dev", "/sys", SystemPorts.Instance.Before);

    /// <summary>All ports, or without the built-in ones that the machine does not really have.</summary>
    internal IReadOnlyList<PortEntry> Read(bool withGhosts)
    {
        if (!OperatingSystem.IsLinux())
        {
            return [.. WithoutWaiting(SerialPort.GetPortNames())
                .Order(StringComparer.Ordinal)
                .Select(name => new PortEntry(PrintableText.Escape(name), PrintableText.Escape(name), "serial port", false, false, trouble(name)))];
        }

        Dictionary<string, string> stable = [];
        AddLinks("by-id", stable);
        AddLinks("by-path", stable);
        IEnumerable<string> nodes = stable.Keys.Concat(Nodes()).Distinct(StringComparer.Ordinal);
        return [.. nodes
            .Select(node => Entry(node, stable.GetValueOrDefault(node)))
            .Where(entry => withGhosts || !entry.IsGhost)
            .OrderByDescending(entry => entry.IsStable)
            .ThenBy(entry => entry.IsGhost)
            .ThenBy(entry => entry.Name, StringComparer.Ordinal)];
    }

    /// <summary>
    /// The one port that a caliper can be on: the only plugged-in one, or the only one of those with a stable name; else null. A
    /// line built into the machine is never taken by itself: on most nothing is wired to it.
    /// </summary>
    internal static PortEntry? OnlyCandidate(IReadOnlyList<PortEntry> ports)
    {
        PortEntry[] free = [.. ports.Where(port => !port.IsGhost && port.Trouble is null && (port.IsStable || !Path.GetFileName(port.Node).StartsWith("ttyS", StringComparison.Ordinal)))];
        PortEntry[] stable = [.. free.Where(port => port.IsStable)];
        return stable.Length == 1 ? stable[0] : free.Length == 1 ? free[0] : null;
    }

    /// <summary>Drops macOS /dev/tty.*: opening one waits for a carrier. Its twin /dev/cu.* does not, and is listed instead.</summary>
    internal static IEnumerable<string> WithoutWaiting(IEnumerable<string> names) => names.Where(name => !name.StartsWith("/dev/tty.", StringComparison.Ordinal));

    /// <summary>The name of the same port that survives a replug; the name itself when there is none better.</summary>
    internal string StableName(string port)
    {
        if (!OperatingSystem.IsLinux() || !port.StartsWith(devRoot, StringComparison.Ordinal) || port.StartsWith(Path.Combine(devRoot, "serial"), StringComparison.Ordinal))
        {
            return port;
        }

        Dictionary<string, string> stable = [];
        AddLinks("by-id", stable);
        AddLinks("by-path", stable);
        return stable.GetValueOrDefault(port, port);
    }

    private void AddLinks(string kind, Dictionary<string, string> stable)
    {
        string folder = Path.Combine(devRoot, "serial", kind);
        if (!Directory.Exists(folder))
        {
            return;
        }

        foreach (string link in Directory.EnumerateFileSystemEntries(folder).Order(StringComparer.Ordinal))
        {
            if (File.ResolveLinkTarget(link, returnFinalTarget: true) is FileSystemInfo { Exists: true } node)
            {
                stable.TryAdd(node.FullName, link);
            }
        }
    }

    private IEnumerable<string> Nodes() => Directory.Exists(devRoot)
        ? Directory.EnumerateFileSystemEntries(devRoot).Where(node => _families.Any(family => IsOf(Path.GetFileName(node), family)))
        : [];

    private static bool IsOf(string name, string family) =>
        name.Length > family.Length && name.StartsWith(family, StringComparison.Ordinal) && name.AsSpan(family.Length).IndexOfAnyExceptInRange('0', '9') < 0;

    private PortEntry Entry(string node, string? stable)
    {
        PortDescription description = PortDescription.Of(Path.GetFileName(node), sysRoot);
        string name = stable ?? node;
        return new PortEntry(
            PrintableText.Escape(name), PrintableText.Escape(node), description.Words, stable is not null, description.IsGhost,
            description.IsGhost ? new PortTrouble(PortTroubleKind.NotSerial, "This machine has no such built-in port.") : trouble(name));
    }
}

/// <summary>One serial port of the machine. Every text is safe for a terminal.</summary>
/// <param name="Name">The name to use: one that survives a replug where there is one.</param>
/// <param name="Node">The node behind it.</param>
/// <param name="What">What is plugged in, as the device says it, or what kind of port it is.</param>
/// <param name="IsStable">True when the name stays the same after a replug.</param>
/// <param name="IsGhost">True for a built-in port that the machine does not really have.</param>
/// <param name="Trouble">Why it cannot be opened, or null.</param>
internal sealed record PortEntry(string Name, string Node, string What, bool IsStable, bool IsGhost, PortTrouble? Trouble);
