using CaliperStation.Core.Quantities;
using CaliperStation.Devices;

namespace CaliperStation.Tests.Devices;

public sealed class PortListTests : IDisposable
{
    private readonly TemporaryFolder _place = new();

    private string Dev => Path.Combine(_place.Path, "dev");

    private string Sys => Path.Combine(_place.Path, "sys");

    public PortListTests()
    {
        AddNode("ttyUSB0");
        AddNode("ttyACM1");
        AddNode("ttyS0");
        AddNode("ttyS1");
        AddNode("tty0");
        AddNode("ttyprintk");
        AddNode("null");
        AddLink("by-id", "usb-Bench_Adapter_17-if00-port0", "ttyUSB0");
        AddLink("by-path", "pci-0000-usb-0:1", "ttyUSB0");
        AddLink("by-path", "pci-0000-usb-0:2", "ttyACM1");
        AddLink("by-id", "usb-Gone", "ttyUSB9");
        string usb = Path.Combine(Sys, "devices", "usb1", "1-1");
        string port = Path.Combine(usb, "1-1:1.0", "ttyUSB0");
        AddFile(Path.Combine(usb, "manufacturer"), "Bench\u001b[31m Works\n");
        AddFile(Path.Combine(usb, "product"), "Adapter\n");
        AddFile(Path.Combine(usb, "serial"), "17\n");
        string tty = Path.Combine(port, "tty", "ttyUSB0");
        Directory.CreateDirectory(tty);
        Directory.CreateSymbolicLink(Path.Combine(tty, "device"), "../../../ttyUSB0");
        Directory.CreateDirectory(Path.Combine(Sys, "class", "tty"));
        Directory.CreateSymbolicLink(Path.Combine(Sys, "class", "tty", "ttyUSB0"), tty);
        AddFile(Path.Combine(Sys, "class", "tty", "ttyS0", "type"), "4\n");
        AddFile(Path.Combine(Sys, "class", "tty", "ttyS1", "type"), "0\n");
    }

    public void Dispose() => _place.Dispose();

    [Trait("trouble", "T59")]
    [Fact]
    public void Stable_names_come_first_and_each_says_what_it_is()
    {
        IReadOnlyList<PortEntry> ports = List().Read(withGhosts: false);

        Assert.Equal(
            [Path.Combine(Dev, "serial/by-id/usb-Bench_Adapter_17-if00-port0"), Path.Combine(Dev, "serial/by-path/pci-0000-usb-0:2"), Path.Combine(Dev, "ttyS0")],
            ports.Select(port => port.Name));
        Assert.Equal("Bench\\x1B[31m Works Adapter serial 17", ports[0].What);
        Assert.Equal(Path.Combine(Dev, "ttyUSB0"), ports[0].Node);
        Assert.Equal([true, true, false], ports.Select(port => port.IsStable));
    }

    [Trait("trouble", "T60")]
    [Fact]
    public void Ghosts_are_shown_only_when_asked_for()
    {
        PortEntry ghost = Assert.Single(List().Read(withGhosts: true), port => port.IsGhost);

        Assert.Equal(Path.Combine(Dev, "ttyS1"), ghost.Name);
        Assert.Equal(PortTroubleKind.NotSerial, ghost.Trouble?.Kind);
    }

    [Trait("trouble", "T56")]
    [Fact]
    public void A_port_that_cannot_be_opened_says_why()
    {
        PortTrouble denied = new(PortTroubleKind.Denied, "denied");
        PortList list = new(Dev, Sys, port => port.Contains("by-id", StringComparison.Ordinal) ? denied : null);

        Assert.Equal([denied, null, null], list.Read(withGhosts: false).Select(port => port.Trouble));
    }

    [Fact]
    public void A_name_is_bettered_to_one_that_survives_a_replug()
    {
        Assert.Equal(Path.Combine(Dev, "serial/by-id/usb-Bench_Adapter_17-if00-port0"), List().StableName(Path.Combine(Dev, "ttyUSB0")));
        Assert.Equal(Path.Combine(Dev, "ttyS0"), List().StableName(Path.Combine(Dev, "ttyS0")));
        Assert.Equal("/dev/pts/3", List().StableName("/dev/pts/3"));
        PortRequest request = new(Path.Combine(Dev, "ttyUSB0"), null, null, 1, LengthUnit.Inch, false);
        Assert.Equal(request with { Port = Path.Combine(Dev, "serial/by-id/usb-Bench_Adapter_17-if00-port0") }, CaliperChoice.Lasting(request, List()));
    }

    [Fact]
    public void The_only_candidate_is_chosen_and_of_two_neither()
    {
        PortEntry usb = new("a", "a", "", true, false, null);
        PortEntry built = new("/dev/ttyS0", "/dev/ttyS0", "", false, false, null);

        Assert.Equal(usb, PortList.OnlyCandidate([usb, built]));
        Assert.Null(PortList.OnlyCandidate([built]));
        Assert.Null(PortList.OnlyCandidate([usb, usb with { Name = "c" }]));
        Assert.Null(PortList.OnlyCandidate([usb with { Trouble = new(PortTroubleKind.Busy, "busy") }]));
        Assert.Null(PortList.OnlyCandidate([]));
    }

    [Trait("trouble", "T61")]
    [Fact]
    public void T61_the_twin_that_waits_for_a_carrier_is_not_offered() => Assert.Equal(
        ["/dev/cu.usbserial-17", "/dev/cu.Bluetooth", "COM3"],
        PortList.WithoutWaiting(["/dev/tty.usbserial-17", "/dev/cu.usbserial-17", "/dev/cu.Bluetooth", "/dev/tty.Bluetooth", "COM3"]));

    [Fact]
    public void No_folder_of_devices_is_no_ports() => Assert.Empty(new PortList(Path.Combine(_place.Path, "x"), Sys, _ => null).Read(withGhosts: true));

    private PortList List() => new(Dev, Sys, _ => null);

    private void AddNode(string name) => AddFile(Path.Combine(Dev, name), "");

    private void AddLink(string kind, string name, string node)
    {
        string folder = Path.Combine(Dev, "serial", kind);
        Directory.CreateDirectory(folder);
        File.CreateSymbolicLink(Path.Combine(folder, name), $"../../{node}");
    }

    private static void AddFile(string path, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text);
    }
}
