using CaliperStation.Core.Quantities;
using CaliperStation.Files;

namespace CaliperStation.Devices;

/// <summary>The machine's serial ports.</summary>
internal sealed class SystemPorts : ISerialPorts
{
    internal static readonly SystemPorts Instance = new();

    private SystemPorts()
    {
    }

    public ISerialLine Create(SerialSettings settings) => new SerialPortLine(settings);

    /// <summary>Where the name leads. On Windows a port is no file, so the name stands for itself.</summary>
    public string? Node(string port)
    {
        if (OperatingSystem.IsWindows())
        {
            return port;
        }

        try
        {
            string node = File.ResolveLinkTarget(port, returnFinalTarget: true)?.FullName ?? Path.GetFullPath(port);
            return File.Exists(node) || Directory.Exists(node) ? node : null;
        }
        catch (Exception e) when (FileFault.IsOfNamed(e))
        {
            return null;
        }
    }

    /// <summary>The device's name with maker and serial number, as the system files it; null when it has none.</summary>
    public string? Identity(string port)
    {
        const string Names = "/dev/serial/by-id";
        if (!OperatingSystem.IsLinux() || Node(port) is not { } node || !Directory.Exists(Names))
        {
            return null;
        }

        try
        {
            return Directory.EnumerateFileSystemEntries(Names).FirstOrDefault(name => Node(name) == node) is { } found ? Path.GetFileName(found) : null;
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            return null;
        }
    }

    public PortTrouble? Before(string port)
    {
        if (OperatingSystem.IsWindows())
        {
            return null;
        }

        string? node = Node(port);
        if (node is null)
        {
            return NoSuchPort(port);
        }

        if (Directory.Exists(node))
        {
            return NotSerial(port, "it is a folder");
        }

        if (!DeviceNode.IsAllowed(node))
        {
            return DeniedPort(port);
        }

        PortHolder? holder = PortHolder.Of(node, "/proc", Environment.ProcessId);
        return holder is null ? null : BusyPort(port, holder);
    }

    public PortTrouble After(string port, Exception failure)
    {
        if (SerialLink.IsLibraryMissing(failure))
        {
            return new PortTrouble(
                PortTroubleKind.Failed,
                "The file libSystem.IO.Ports.Native, which opens ports, is not beside the program: copy the whole published folder, not the program alone.");
        }

        if (OperatingSystem.IsWindows())
        {
            return failure switch
            {
                FileNotFoundException => NoSuchPort(port),
                UnauthorizedAccessException => BusyPort(port, null),
                _ => Failed(port, failure),
            };
        }

        // The library says "access denied" for everything; the system says which.
        return Before(port) ?? DeviceNode.Try(Node(port) ?? port) switch
        {
            NodeFault.Busy => BusyPort(port, null),
            NodeFault.Denied => DeniedPort(port),
            NodeFault.NotTerminal => NotSerial(port, "it is not a serial device"),
            NodeFault.NothingBehind => NotSerial(port, "nothing is connected behind it"),
            _ => Failed(port, failure),
        };
    }

    private static PortTrouble NoSuchPort(string port) => new(
        PortTroubleKind.NoSuchPort,
        $"There is no port {Show(port)}. Plug the caliper in; \"caliper-station caliper ports\" lists the ports there are.");

    private static PortTrouble NotSerial(string port, string what) => new(
        PortTroubleKind.NotSerial,
        $"{Show(port)} is no serial line: {what}. \"caliper-station caliper ports\" lists the ports there are.");

    private PortTrouble BusyPort(string port, PortHolder? holder) => new(
        PortTroubleKind.Busy,
        $"{Show(port)} is busy: {holder?.Words ?? "another program"} holds it. Close that program.{ModemHint(Node(port) ?? port)}");

    /// <summary>Services that look for modems open each new port of this kind for a while.</summary>
    internal static string ModemHint(string node) => Path.GetFileName(node).StartsWith("ttyACM", StringComparison.Ordinal)
        ? " Just plugged in, it may be the system's search for modems, which ends within about ten seconds."
        : "";

    private static PortTrouble DeniedPort(string port)
    {
        string group = DeviceNode.SerialGroup();
        return new(
            PortTroubleKind.Denied,
            $"{Show(port)} is denied: this user may not open it. Run \"sudo usermod -aG {group} $USER\" (group {group}), then log out and in again.");
    }

    private static PortTrouble Failed(string port, Exception failure) => new(
        PortTroubleKind.Failed,
        $"{Show(port)} cannot be opened: {PrintableText.Escape(failure.Message)} Check the baud rate and the framing, and the cable.");

    private static string Show(string port) => PrintableText.Escape(port);
}
