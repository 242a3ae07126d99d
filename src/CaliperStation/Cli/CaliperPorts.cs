using CaliperStation.Core.Reports;
using CaliperStation.Devices;

namespace CaliperStation.Cli;

/// <summary>What <c>caliper ports</c> was asked for.</summary>
/// <param name="All">With the built-in ports that the machine does not really have.</param>
/// <param name="Json">One object a line.</param>
internal sealed record CaliperPortsOptions(bool All, bool Json);

/// <summary>Lists the serial ports: stable names first, what each is, and why it cannot be opened.</summary>
internal static class CaliperPorts
{
    internal static async Task<int> RunAsync(
        CaliperPortsOptions options, TextWriter output, TextWriter errors, CancellationToken stop, PortList? list = null)
    {
        IReadOnlyList<PortEntry> ports = (list ?? PortList.OfMachine()).Read(options.All);
        if (ports.Count == 0)
        {
            await errors.WriteLineAsync("No serial port was found. Plug the caliper's cable or adapter in and look again.".AsMemory(), stop).ConfigureAwait(false);
        }

        foreach (PortEntry port in ports)
        {
            await output.WriteLineAsync((options.Json ? Json(port) : Words(port)).AsMemory(), stop).ConfigureAwait(false);
        }

        return 0;
    }

    private static string Words(PortEntry port)
    {
        string node = port.Name == port.Node ? "" : $" (now {port.Node})";
        string trouble = port.Trouble is null ? "can be opened" : port.Trouble.Words;
        return $"{port.Name}{node}\n    {port.What}\n    {trouble}";
    }

    private static string Json(PortEntry port) => JsonText.Object(json =>
    {
        json.WriteString("port", port.Name);
        json.WriteString("node", port.Node);
        json.WriteString("what", port.What);
        json.WriteBoolean("stable", port.IsStable);
        json.WriteString("trouble", port.Trouble?.Kind switch
        {
            PortTroubleKind.NoSuchPort => "no-such-port",
            PortTroubleKind.Busy => "busy",
            PortTroubleKind.Denied => "denied",
            PortTroubleKind.NotSerial => "not-serial",
            PortTroubleKind.Failed => "failed",
            null => null,
        });
        json.WriteString("why", port.Trouble?.Words);
    });
}
