using System.Reflection;
using CaliperStation.Core.Quantities;
using CaliperStation.Files;
using NetArchTest.Rules;

namespace CaliperStation.Tests.Shape;

/// <summary>A folder is a namespace and uses only folders to its left, in the compiled code: docs of the order in DEVELOPERS.md.</summary>
public sealed class FolderOrderTests
{
    private const string Core = "CaliperStation.Core.";
    private const string Shell = "CaliperStation.";
    private static readonly string[] _core = ["Quantities", "Toml", "Wire", "Readings", "Standards", "Judging", "Correcting", "Studies", "Sittings", "Records", "Bench", "Reports"];
    private static readonly string[] _shell = ["Files", "Devices", "Storage", "Printing", "Bench", "Screen", "Cli"];

    public static TheoryData<string, string> Folders
    {
        get
        {
            TheoryData<string, string> folders = [];
            Array.ForEach(_core, folder => folders.Add(Core, folder));
            Array.ForEach(_shell, folder => folders.Add(Shell, folder));
            return folders;
        }
    }

    [Theory]
    [MemberData(nameof(Folders))]
    public void No_folder_uses_one_to_its_right(string root, string folder)
    {
        string[] order = OrderOf(root);
        string[] right = [.. order[(Array.IndexOf(order, folder) + 1)..].Select(other => root + other)];

        Assert.NotEmpty(In(root, folder).GetTypes());
        Assert.Empty(right.Length == 0 ? [] : Using(root, folder, right));
    }

    /// <summary>The rule sees what it is to see: turned round, it finds the arrows that there are.</summary>
    [Theory]
    [InlineData(Core, "Judging", "Standards")]
    [InlineData(Core, "Bench", "Sittings")]
    [InlineData(Shell, "Storage", "Files")]
    [InlineData(Shell, "Cli", "Screen")]
    public void An_arrow_that_is_there_is_found(string root, string folder, string used) => Assert.NotEmpty(Using(root, folder, root + used));

    [Theory]
    [InlineData(Core)]
    [InlineData(Shell)]
    public void Every_type_stands_in_one_of_the_folders(string root)
    {
        string[] homes = [.. OrderOf(root).Select(folder => root + folder)];
        IEnumerable<string> homeless = AssemblyOf(root).GetTypes()
            .Where(type => type.FullName!.StartsWith("CaliperStation", StringComparison.Ordinal) && !homes.Contains(type.Namespace) && type.FullName != "CaliperStation.Program" && type.DeclaringType?.FullName != "CaliperStation.Program")
            .Select(type => type.FullName!);

        Assert.Empty(homeless);
    }

    [Fact]
    public void Only_the_screen_knows_the_terminal_kit()
    {
        foreach (string folder in _shell)
        {
            Assert.Equal(folder == "Screen", Using(Shell, folder, "Terminal.Gui").Any());
        }
    }

    /// <summary>The analyzer of banned symbols refuses these too, while Core is compiled; single members such as the clock's now, and the environment, which iterators use by themselves, it alone can tell.</summary>
    [Fact]
    public void Core_knows_no_file_console_thread_clock_chance_or_wire() => Assert.Empty(_core.SelectMany(folder => Using(
        Core, folder, "System.Console", "System.IO.File", "System.IO.Directory", "System.IO.FileStream", "System.IO.RandomAccess", "System.IO.Ports", "System.Diagnostics.Process", "System.Diagnostics.Stopwatch",
        "System.TimeProvider", "System.Random", "System.Threading.Thread", "System.Threading.Timer", "System.Threading.ThreadPool", "System.Threading.PeriodicTimer",
        "System.Timers", "System.Net.Sockets", "System.Net.Http")));

    [Fact]
    public void The_C_library_is_imported_in_one_place()
    {
        IEnumerable<Type?> importing = AssemblyOf(Shell).GetTypes()
            .SelectMany(type => type.GetMethods(BindingFlags.Static | BindingFlags.Public | BindingFlags.NonPublic | BindingFlags.DeclaredOnly))
            .Where(method => method.Attributes.HasFlag(MethodAttributes.PinvokeImpl))
            .Select(method => method.DeclaringType)
            .Distinct();

        Assert.Equal([typeof(LibC)], importing);
    }

    private static IEnumerable<string> Using(string root, string folder, params string[] names) =>
        In(root, folder).Should().NotHaveDependencyOnAny(names).GetResult().FailingTypes?.Select(type => type.FullName!) ?? [];

    private static PredicateList In(string root, string folder) => Types.InAssembly(AssemblyOf(root)).That().ResideInNamespace(root + folder);

    private static string[] OrderOf(string root) => root == Core ? _core : _shell;

    private static Assembly AssemblyOf(string root) => root == Core ? typeof(Length).Assembly : typeof(ExitCode).Assembly;
}
