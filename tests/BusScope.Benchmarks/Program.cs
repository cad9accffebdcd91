using BenchmarkDotNet.Running;
using BusScope.Benchmarks.Live;
using BusScope.Benchmarks.Replay;

// What takes long and prints figures of its own stands by name; everything else is BenchmarkDotNet's.
switch (args)
{
    case ["full-load"]:
        FullLoad.Run();
        break;
    case ["long-day"]:
        LongDay.Run();
        break;
    case ["frame-to-screen", var program]:
        FrameToScreen.Run(program);
        break;
    case ["screen", var program]:
        ScreenLoad.Run(program);
        break;
    case ["snapshot"]:
        SnapshotCost.Run();
        break;
    case ["screen-memory"]:
        ScreenMemoryUse.Run();
        break;
    case ["seek", var capture, var definitions]:
        Seek.Run(capture, definitions);
        break;
    default:
        BenchmarkSwitcher.FromAssembly(typeof(FullLoad).Assembly).Run(args);
        break;
}
